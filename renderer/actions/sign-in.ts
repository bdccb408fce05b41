import { mayDo } from '../../shared/people/permission.ts';
import { type Action, atBench } from './action.ts';

/** Signs in with the PIN just typed. */
export const signIn: Action = {
  id: 'sign-in',
  key: 'Enter',
  place: 'main',
  label: () => 'action.signIn',
  offered: (situation) =>
    atBench(situation) && situation.phase === 'signed out' && situation.screen.signingIn !== null,
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const who = situation.screen.signingIn;
    if (who === null) return;
    const answer = await hands.ask('signIn', {
      ...(who.personId === undefined ? {} : { personId: who.personId }),
      ...(who.badge === undefined ? {} : { badge: who.badge }),
      pin: situation.draft.text,
    });
    if (answer === null) {
      hands.clearDraft();
      return;
    }
    // An auditor has nothing to do at the bench.
    const worksHere = mayDo(answer.value.person.roles, 'openJob');
    hands.set({ signingIn: null, screen: worksHere ? 'bench' : 'audit' });
  },
};
