import type { Situation } from '../state/situation.ts';
import type { Action } from './action.ts';
import { atAudit } from './audit-tab.ts';

/** Is a check under way that this screen asked for? */
export function isVerifying({ verify }: Situation): boolean {
  return verify !== null && !verify.finished && !verify.stopped;
}

/** Stops the check of the evidence; what it found until then stays to be read. */
export const stopVerify: Action = {
  id: 'stop-verify',
  key: 'F8',
  place: 'bar',
  label: () => 'action.stopVerify',
  offered: (situation) => atAudit(situation) && isVerifying(situation),
  enabled: ({ screen }) => !screen.busy,
  async run(_situation, hands) {
    await hands.ask('stopVerify', {});
  },
};
