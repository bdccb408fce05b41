import { type Action, atStep, refusedHere, toStep } from './action.ts';

/** Writes the note that the step asks for. */
export const writeNote: Action = {
  id: 'write-note',
  key: 'Enter',
  place: 'main',
  label: () => 'action.writeNote',
  offered: (situation) => atStep(situation, 'note'),
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const step = toStep(situation);
    const text = situation.draft.text.trim();
    if (step === null) return;
    if (text === '') hands.say(refusedHere('refusal.noteMissing'));
    else await hands.command({ kind: 'writeNote', ...step, text });
  },
};
