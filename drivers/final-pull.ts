import type { FinalPullRule } from './profile/settings.ts';
import type { Pull } from './pull.ts';

/** The pull that counts by a rule; undefined while no pull is complete. */
export function findFinalPull<Taken extends Pick<Pull, 'peak'>>(
  pulls: readonly Taken[],
  rule: FinalPullRule,
): Taken | undefined {
  const complete = pulls.filter(({ peak }) => peak !== null);
  switch (rule) {
    case 'last_complete':
      return complete.at(-1);
    case 'first_complete':
      return complete[0];
    case 'greatest_complete':
      return complete.reduce<Taken | undefined>(
        (best, pull) => (best === undefined || sizeOf(pull) > sizeOf(best) ? pull : best),
        undefined,
      );
  }
}

function sizeOf({ peak }: Pick<Pull, 'peak'>): number {
  return Math.abs(peak?.value ?? 0);
}
