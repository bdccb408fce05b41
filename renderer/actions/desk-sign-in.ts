import type { Situation } from '../state/situation.ts';
import { type Action, refusedHere } from './action.ts';

/** Is this another desk where nobody has signed in yet? */
export function atDeskDoor({ snapshot, screen }: Situation): boolean {
  return screen.screen === 'audit' && snapshot?.readOnly === true && snapshot.signedIn === null;
}

/** Signs in at another desk: name, badge or id, and the PIN. */
export const signInAtDesk: Action = {
  id: 'sign-in-at-desk',
  key: 'Enter',
  place: 'main',
  label: () => 'action.signIn',
  offered: atDeskDoor,
  enabled: ({ screen }) => !screen.busy,
  async run({ draft }, hands) {
    const personId = draft.text.trim();
    if (personId === '' || draft.second === '') {
      hands.say(refusedHere(personId === '' ? 'refusal.nameMissing' : 'refusal.pinMissing'));
      return;
    }
    const answer = await hands.ask('signIn', { personId, pin: draft.second });
    // What was refused stays said.
    if (answer === null) hands.set({ draft: { ...draft, second: '' } });
    else hands.set({ screen: 'audit' });
  },
};
