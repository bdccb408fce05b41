import type { Decision } from '../../../shared/acceptance/judgement.ts';
import type { StepState } from '../../../shared/job/state.ts';
import type { Mark, Shape, Tone } from './block.ts';
import type { RecordContext } from './record-context.ts';
import type { Wording } from './wording/wording.ts';

export const decisionShapes: Readonly<Record<Decision, { readonly shape: Shape; readonly tone: Tone }>> = {
  pass: { shape: 'disc', tone: 'good' },
  'conditional pass': { shape: 'triangle', tone: 'warning' },
  'conditional fail': { shape: 'point-down', tone: 'bad' },
  fail: { shape: 'square', tone: 'bad' },
};

export function decisionMark(decision: Decision, wording: Wording): Mark {
  return { ...decisionShapes[decision], word: wording.say.decision[decision] };
}

/** The mark of a step as the job left it. */
export function stepMark(step: StepState, wording: Wording): Mark {
  const { stepStatus } = wording.say;
  const word = stepStatus[step.status];
  switch (step.status) {
    case 'done':
      return { shape: 'disc', tone: 'good', word };
    case 'failed':
      return { shape: 'square', tone: 'bad', word };
    case 'conceded':
      return { shape: 'diamond', tone: 'warning', word };
    case 'noted':
      return { shape: 'triangle', tone: 'warning', word };
    case 'waiting':
    case 'ready':
      return { shape: 'ring', tone: 'neutral', word: step.mandatory ? word : stepStatus.optional };
  }
}

/** The mark of the whole job. */
export function outcomeMark({ state, wording }: RecordContext): Mark {
  const { outcome } = wording.say;
  switch (state.phase) {
    case 'released':
      return state.steps.some(({ status }) => status === 'conceded')
        ? { shape: 'diamond', tone: 'warning', word: outcome.conceded }
        : { shape: 'disc', tone: 'good', word: outcome.released };
    case 'abandoned':
      return { shape: 'square', tone: 'bad', word: outcome.abandoned };
    case 'voided':
      return { shape: 'square', tone: 'bad', word: outcome.voided };
    case 'open':
      return { shape: 'ring', tone: 'neutral', word: outcome.open };
    case 'held':
      return { shape: 'ring', tone: 'neutral', word: outcome.held };
  }
}

/** True when anything about the job was simulated: the bench, or one instrument on it. */
export function isSimulated({ state, events }: RecordContext): boolean {
  return (
    state.simulated ||
    events.some(({ event }) => event.kind === 'measurementCaptured' && event.capture.instrument.simulated)
  );
}
