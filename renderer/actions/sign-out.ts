import { type Action, always } from './action.ts';

/** Signs out; a job in hand is put aside and stays as it is. At the desk of a site nobody does: its login is the person. */
export const signOut: Action = {
  id: 'sign-out',
  key: null,
  place: 'screens menu',
  label: () => 'action.signOut',
  offered: ({ snapshot }) => (snapshot?.signedIn ?? null) !== null && snapshot?.site === undefined,
  enabled: always,
  async run(_situation, hands) {
    const answer = await hands.ask('signOut', {});
    if (answer !== null) hands.set({ screen: 'bench', lookedUp: null, outcome: null, dialog: null });
  },
};
