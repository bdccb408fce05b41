import { type Action, atStep, toStep } from './action.ts';
import { isTareDue } from './take-tare.ts';

/** Weighs the empty dish anew, as after it was changed. */
export const takeTareAgain: Action = {
  id: 'take-tare-again',
  key: 'Shift+F3',
  place: 'job menu',
  label: () => 'action.takeTareAgain',
  offered: (situation) =>
    atStep(situation, 'mass') &&
    situation.step?.kind === 'mass' &&
    situation.step.tare === 'station' &&
    !isTareDue(situation),
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const step = toStep(situation);
    if (step !== null) await hands.command({ kind: 'takeTare', ...step });
  },
};
