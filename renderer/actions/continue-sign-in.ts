import { chosen } from '../state/situation.ts';
import { type Action, atBench, refusedHere } from './action.ts';

/** Takes the badge that was scanned, or the name that was chosen; the PIN is asked for next. */
export const continueSignIn: Action = {
  id: 'continue-sign-in',
  key: 'Enter',
  place: 'main',
  label: () => 'action.continueSignIn',
  offered: (situation) =>
    atBench(situation) && situation.phase === 'signed out' && situation.screen.signingIn === null,
  enabled: () => true,
  run(situation, hands) {
    const badge = situation.draft.text.trim();
    const person = chosen(situation);
    if (badge !== '') hands.set({ signingIn: { badge, name: '' } });
    else if (person !== null) {
      hands.set({ signingIn: { personId: person.id, name: String(person.label) } });
    } else hands.say(refusedHere('refusal.chooseNameFirst'));
  },
};
