import type { Action } from './action.ts';
import { atDesk, signedInMay } from './manage.ts';

/** Looks anew whether anything at this station needs somebody to act. */
export const lookAgain: Action = {
  id: 'look-again',
  key: 'F5',
  place: 'desk',
  label: () => 'action.lookAgain',
  offered: (situation) => atDesk(situation, 'health') && signedInMay(situation, 'readHealth'),
  enabled: ({ screen }) => screen.desk.health !== 'looking',
  run: (_situation, hands) => hands.loadDesk(),
};
