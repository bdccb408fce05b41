import { attemptsLeft, holdsJob } from '../actions/action.ts';
import { isTareDue } from '../actions/take-tare.ts';
import type { MessageKey } from '../wording/english.ts';
import type { Situation } from './situation.ts';
import type { Side, Verdict } from './verdict.ts';

/** What to do next, as one sentence. `verdict` is that of the live value, `side` where it lies of its zone. */
export function guidanceOf(situation: Situation, verdict: Verdict, side: Side): MessageKey | null {
  const { phase, step } = situation;
  switch (phase) {
    case 'unknown':
      return null;
    case 'first run':
      return `next.firstRun.${situation.screen.settingUp.page}`;
    case 'signed out':
      return situation.screen.signingIn === null ? 'next.signIn' : 'next.pin';
    case 'start':
      return 'next.serial';
    case 'sheets':
      return situation.choices.length === 0 ? 'sheets.none' : 'next.chooseSheet';
    case 'held':
      return 'next.held';
    case 'complete':
      return 'next.complete';
    case 'closed':
      return 'next.closed';
    case 'step':
      if (step === null) return null;
      if (!holdsJob(situation) && step.kind !== 'signOff') return 'next.notHolder';
      if (!attemptsLeft(situation)) return 'next.exhausted';
      if (step.kind === 'mass') return massGuidance(situation, verdict, side);
      if (step.kind === 'torque') return torqueGuidance(situation, verdict);
      return `next.${step.kind}`;
  }
}

function failedBefore(situation: Situation): boolean {
  return situation.stepState?.status === 'failed';
}

function massGuidance(situation: Situation, verdict: Verdict, side: Side): MessageKey {
  const { step } = situation;
  if (isTareDue(situation)) {
    return step?.kind === 'mass' && step.method === 'difference' ? 'next.tareTube' : 'next.tare';
  }
  switch (verdict) {
    case 'pass':
      return 'next.massPass';
    case 'conditional pass':
      return 'next.massConditional';
    case 'conditional fail':
    case 'fail':
      return side === 'above' ? 'next.massHigh' : 'next.massShort';
    case 'unsettled':
      // While it is filled nothing is at rest, and nothing has to be.
      return side === 'below' ? 'next.massShort' : 'next.massUnsettled';
    case 'absent':
      return step?.kind === 'mass' && step.method === 'difference' ? 'next.tubeAbsent' : 'next.dishAbsent';
    case 'short':
      return failedBefore(situation) ? 'next.massAgain' : 'next.massShort';
    default:
      return 'next.massWaiting';
  }
}

function torqueGuidance(situation: Situation, verdict: Verdict): MessageKey {
  switch (verdict) {
    case 'pass':
      return 'next.torquePass';
    case 'conditional pass':
      return 'next.torqueConditional';
    case 'conditional fail':
    case 'fail':
      return 'next.torqueOutside';
    case 'pulling':
      return 'next.torquePulling';
    default:
      return failedBefore(situation) ? 'next.torqueAgain' : 'next.torqueWaiting';
  }
}
