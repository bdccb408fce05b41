import { stepsToChoose } from '../state/situation.ts';
import { type Action, atBench } from './action.ts';

/** Takes another of the steps that can be done now in hand. */
export const otherStep: Action = {
  id: 'other-step',
  key: 'PageDown',
  place: 'job menu',
  label: () => 'action.otherStep',
  offered: (situation) => atBench(situation) && situation.phase === 'step',
  enabled: (situation) => stepsToChoose(situation.job).length > 1,
  run(situation, hands) {
    const steps = stepsToChoose(situation.job);
    const at = steps.indexOf(situation.step?.stepId ?? '');
    hands.set({ chosenStepId: steps[(at + 1) % steps.length] ?? null, outcome: null, notice: null });
  },
};
