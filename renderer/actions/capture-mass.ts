import { type Action, atStep, attemptsLeft, toStep } from './action.ts';
import { isTareDue } from './take-tare.ts';

/** Captures the settled mass; the station completes it with the evidence or says why not. */
export const captureMass: Action = {
  id: 'capture-mass',
  key: 'Enter',
  place: 'main',
  label: () => 'action.captureMass',
  offered: (situation) => atStep(situation, 'mass') && !isTareDue(situation),
  enabled: (situation) => !situation.screen.busy && attemptsLeft(situation),
  async run(situation, hands) {
    const step = toStep(situation);
    if (step !== null) await hands.command({ kind: 'captureMass', ...step });
  },
};
