import type { Situation } from '../state/situation.ts';
import { type Action, atStep, toStep } from './action.ts';

/** Must the empty dish (or the full tube) be weighed before the fill can be captured? */
export function isTareDue(situation: Situation): boolean {
  return (
    situation.step?.kind === 'mass' && situation.step.tare === 'station' && situation.stepState?.tare === null
  );
}

/** Weighs the empty dish, or the full tube, before the fill. */
export const takeTare: Action = {
  id: 'take-tare',
  key: 'Enter',
  place: 'main',
  label: (situation) =>
    situation.step?.kind === 'mass' && situation.step.method === 'difference'
      ? 'action.takeTareOfTube'
      : 'action.takeTare',
  offered: (situation) => atStep(situation, 'mass') && isTareDue(situation),
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const step = toStep(situation);
    if (step !== null) await hands.command({ kind: 'takeTare', ...step });
  },
};
