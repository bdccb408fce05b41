import type { CallParameters } from '../../shared/contract.ts';
import { type Action, atBench } from './action.ts';

/** Opens a document of the job just released to print. */
export function printDocument(
  kind: CallParameters<'document'>['kind'],
  words: Pick<Action, 'id' | 'key' | 'label'>,
): Action {
  return {
    ...words,
    place: 'bar',
    offered: (situation) =>
      atBench(situation) && situation.phase === 'closed' && situation.job?.state.phase === 'released',
    enabled: (situation) => !situation.screen.busy,
    async run(situation, hands) {
      const jobId = situation.job?.state.jobId;
      if (jobId === undefined) return;
      const answer = await hands.ask('document', { jobId, kind });
      if (answer !== null) hands.openDocument(answer.value.url);
    },
  };
}
