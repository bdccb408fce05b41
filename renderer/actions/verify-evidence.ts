import { mayDo } from '../../shared/people/permission.ts';
import type { Action } from './action.ts';
import { atAudit } from './audit-tab.ts';
import { isVerifying } from './stop-verify.ts';

/** Checks chain, signatures and replay of everything that is kept. */
export const verifyEvidence: Action = {
  id: 'verify-evidence',
  key: 'F8',
  place: 'bar',
  label: () => 'action.verifyEvidence',
  offered: (situation) => atAudit(situation) && !isVerifying(situation),
  enabled: ({ screen, snapshot }) => !screen.busy && mayDo(snapshot?.signedIn?.roles ?? [], 'verifyEvidence'),
  async run(_situation, hands) {
    hands.setAudit({ tab: 'serial' });
    await hands.ask('verify', {});
  },
};
