import { mayDo } from '../../shared/people/permission.ts';
import type { Action } from './action.ts';

/** Checks chain, signatures and replay of everything that is kept. */
export const verifyEvidence: Action = {
  id: 'verify-evidence',
  key: 'F8',
  place: 'bar',
  label: () => 'action.verifyEvidence',
  offered: ({ screen, snapshot }) => screen.screen === 'audit' && snapshot?.signedIn != null,
  enabled: ({ screen, snapshot }) => !screen.busy && mayDo(snapshot?.signedIn?.roles ?? [], 'verifyEvidence'),
  async run(_situation, hands) {
    await hands.ask('verify', {});
  },
};
