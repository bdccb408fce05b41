import { type Action, atStep, refusedHere, toStep } from './action.ts';

/** Signs the statement of the step with the PIN typed again. */
export const signOffStep: Action = {
  id: 'sign-off-step',
  key: 'Enter',
  place: 'main',
  label: () => 'action.signOffStep',
  offered: (situation) => atStep(situation, 'signOff'),
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const step = toStep(situation);
    const pin = situation.draft.text;
    if (step === null) return;
    if (pin === '') {
      hands.say(refusedHere('refusal.pinMissing'));
      return;
    }
    const done = await hands.command({ kind: 'signOffStep', ...step }, { pin });
    if (!done) hands.clearDraft();
  },
};
