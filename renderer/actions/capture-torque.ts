import { type Action, atStep, attemptsLeft, toStep } from './action.ts';

/** Records the peak of the final pull. */
export const captureTorque: Action = {
  id: 'capture-torque',
  key: 'Enter',
  place: 'main',
  label: () => 'action.captureTorque',
  offered: (situation) => atStep(situation, 'torque'),
  enabled: (situation) => !situation.screen.busy && attemptsLeft(situation),
  async run(situation, hands) {
    const step = toStep(situation);
    if (step !== null) await hands.command({ kind: 'captureTorque', ...step });
  },
};
