import { type Action, atStep, toStep } from './action.ts';

/** Says that the instruction was carried out. */
export const confirmInstruction: Action = {
  id: 'confirm-instruction',
  key: 'Enter',
  place: 'main',
  label: () => 'action.confirmInstruction',
  offered: (situation) => atStep(situation, 'instruction'),
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const step = toStep(situation);
    if (step !== null) await hands.command({ kind: 'confirmInstruction', ...step });
  },
};
