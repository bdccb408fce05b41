/** Files that are tested at the same time. */
export const maximumWorkers = 2;

/** Names of the displays that `npm test` started, one for each worker, with commas between. */
export const displaysVariable = 'BANDWRIGHT_TEST_DISPLAYS';

/** The displays of the workers; none where all share the one of whoever sits there. */
export function ownDisplays(environment: NodeJS.ProcessEnv): readonly string[] {
  return (environment[displaysVariable] ?? '').split(',').filter((name) => name !== '');
}
