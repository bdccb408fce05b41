import { type Action, atStep, toStep } from './action.ts';

/** Says that the cautions of the step were read and are heeded. */
export const acknowledgeCaution: Action = {
  id: 'acknowledge-caution',
  key: 'Enter',
  place: 'main',
  label: () => 'action.acknowledgeCaution',
  offered: (situation) => atStep(situation, 'caution'),
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const step = toStep(situation);
    if (step !== null) await hands.command({ kind: 'acknowledgeCaution', ...step });
  },
};
