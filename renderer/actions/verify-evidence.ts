import { mayDo } from '../../shared/people/permission.ts';
import { chosenChain } from '../state/audit-state.ts';
import type { Situation } from '../state/situation.ts';
import { type Action, refusedHere } from './action.ts';
import { atAudit } from './audit-tab.ts';
import { isVerifying } from './stop-verify.ts';

/** Checks chain, signatures and replay of everything that is kept; at the desk of a site, shows whose can be checked. */
export const verifyEvidence: Action = {
  id: 'verify-evidence',
  key: 'F8',
  place: 'bar',
  label: ({ snapshot }) => (snapshot?.site === undefined ? 'action.verifyEvidence' : 'action.chooseChain'),
  offered: (situation) => atAudit(situation) && !isVerifying(situation) && !atAudit(situation, 'stations'),
  enabled: mayVerify,
  async run({ snapshot }, hands) {
    const isSite = snapshot?.site !== undefined;
    hands.setAudit({ tab: isSite ? 'stations' : 'serial' });
    if (!isSite) await hands.ask('verify', {});
  },
};

/** Checks the chain that is chosen, from the site store alone. */
export const verifyChain: Action = {
  id: 'verify-chain',
  key: 'Enter',
  place: 'main',
  label: () => 'action.verifyChain',
  offered: (situation) => atAudit(situation, 'stations') && !isVerifying(situation),
  enabled: mayVerify,
  async run({ screen }, hands) {
    const chain = chosenChain(screen.audit);
    if (chain === null) return hands.say(refusedHere('refusal.chooseChainFirst'));
    await hands.ask('verify', { chainId: chain.chainId });
  },
};

function mayVerify({ screen, snapshot }: Situation): boolean {
  return !screen.busy && mayDo(snapshot?.signedIn?.roles ?? [], 'verifyEvidence');
}
