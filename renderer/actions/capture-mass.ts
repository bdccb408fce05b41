import type { Situation } from '../state/situation.ts';
import { verdictOf } from '../state/verdict.ts';
import { type Action, atStep, attemptsLeft, type Hands, refusedHere, toStep } from './action.ts';
import { isTareDue } from './take-tare.ts';

const outside = 'refusal.massOutside';

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
    if (step === null) return;
    if (isOutside(situation, hands) && !wasWarned(situation)) {
      hands.say(refusedHere(outside));
      return;
    }
    await hands.command({ kind: 'captureMass', ...step });
  },
};

/** A fill can still be mended, and a capture outside costs an attempt: Enter must be meant. */
function isOutside({ measurement }: Situation, hands: Hands): boolean {
  if (measurement === null) return false;
  const verdict = verdictOf(hands.reading(measurement.instrumentId), measurement, false);
  return ['short', 'conditional pass', 'conditional fail', 'fail'].includes(verdict);
}

function wasWarned({ screen }: Situation): boolean {
  return screen.notice !== null && 'key' in screen.notice && screen.notice.key === outside;
}
