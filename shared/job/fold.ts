import type { Decision } from '../acceptance/judgement.ts';
import type { JobEvent, JobEventOf } from './event.ts';
import { currentStepOf, withReadiness } from './readiness.ts';
import type { JobPhase, JobState, StepAttempt, StepState } from './state.ts';

/**
 * The state after one more event. Judges nothing: an event has happened. Throws where the events cannot be
 * those of one job (a bug or a damaged store, never a user's mistake).
 */
export function fold(state: JobState | undefined, event: JobEvent): JobState {
  if (event.kind === 'jobOpened') {
    if (state !== undefined) throw new Error(`job ${state.jobId} was opened twice`);
    return opened(event);
  }
  if (state === undefined) throw new Error(`job ${event.jobId} begins with ${event.kind}, not jobOpened`);
  if (event.jobId !== state.jobId) throw new Error(`event of job ${event.jobId} in job ${state.jobId}`);
  const next = { ...applied(state, event), version: state.version + 1 };
  return next.steps === state.steps ? next : withSteps(next, next.steps);
}

/** The state that a whole list of events makes; undefined for an empty list. */
export function foldAll(events: Iterable<JobEvent>): JobState | undefined {
  let state: JobState | undefined;
  for (const event of events) state = fold(state, event);
  return state;
}

function withSteps(state: JobState, steps: readonly StepState[]): JobState {
  const ready = withReadiness(steps);
  return { ...state, steps: ready, currentStepId: currentStepOf(ready) };
}

function opened(event: JobEventOf<'jobOpened'>): JobState {
  const steps = event.plan.map(
    (planned): StepState => ({
      ...planned,
      status: 'waiting',
      attempts: [],
      attemptsUsed: 0,
      lastDecision: null,
      tare: null,
      concession: null,
      reopenings: 0,
    }),
  );
  const state: JobState = {
    jobId: event.jobId,
    serial: event.serial,
    headId: event.headId,
    sheetId: event.sheetId,
    sheetRevision: event.sheetRevision,
    sheetHash: event.sheetHash,
    customerReference: event.customerReference ?? null,
    reportedFault: event.reportedFault ?? null,
    simulated: event.simulated,
    workshop: event.workshop,
    phase: 'open',
    holderPersonId: event.personId,
    openedAt: event.at,
    openedBy: event.personId,
    closedAt: null,
    steps,
    currentStepId: null,
    holdReason: null,
    nextServiceDue: null,
    amendments: [],
    version: 1,
  };
  return withSteps(state, steps);
}

function applied(state: JobState, event: Exclude<JobEvent, { kind: 'jobOpened' }>): JobState {
  switch (event.kind) {
    case 'cautionAcknowledged':
    case 'instructionConfirmed':
    case 'stepSignedOff':
      return attempted(state, event, 'pass');
    case 'noteWritten':
      return event.stepId === null
        ? state
        : attempted(state, { ...event, stepId: event.stepId }, 'pass', { entry: event.text });
    case 'checkAnswered':
      return attempted(state, event, event.answer === 'yes' ? 'pass' : 'fail', { entry: event.answer });
    case 'partDisposed':
      return attempted(state, event, 'pass', { entry: event.choice, choice: event.choice });
    case 'consumableUsed':
      return attempted(state, event, 'pass', {
        entry: event.lotId ?? event.consumableId,
        lotId: event.lotId,
      });
    case 'numericRecorded':
      return attempted(state, event, event.within ? 'pass' : 'fail', {
        entry: `${event.text} ${event.unit}`,
      });
    case 'tareTaken':
      return withStep(state, event.stepId, (step) => ({
        ...step,
        tare: { indication: event.indication, evidence: event.evidence },
      }));
    case 'measurementCaptured':
      return captured(state, event);
    case 'stepReopened':
      return reopened(state, event);
    case 'concessionGranted':
      return withStep(state, event.stepId, (step) => ({
        ...step,
        status: 'conceded',
        concession: {
          event: state.version,
          at: event.at,
          personId: event.personId,
          reason: event.reason,
          limit: event.limit,
        },
      }));
    case 'jobHeld':
      return { ...state, phase: 'held', holdReason: event.reason ?? null };
    case 'jobResumed':
      return { ...state, phase: 'open', holdReason: null };
    case 'jobHandedOver':
      return { ...state, holderPersonId: event.toPersonId };
    case 'jobAbandoned':
      return closed(state, 'abandoned', event.at);
    case 'jobReleased':
      return { ...closed(state, 'released', event.at), nextServiceDue: event.summary.nextServiceDue };
    case 'jobVoided':
      return closed(state, 'voided', event.at);
    case 'amendmentMade': {
      const { at, personId, of, reason, text } = event;
      const amendment = { event: state.version, at, personId, of, reason, text };
      return { ...state, amendments: [...state.amendments, amendment] };
    }
  }
}

/** At its end a job stands at no step, whatever was left open. */
function closed(state: JobState, phase: Exclude<JobPhase, 'open' | 'held'>, closedAt: string): JobState {
  return { ...state, phase, closedAt, currentStepId: null };
}

function withStep(state: JobState, stepId: string, change: (step: StepState) => StepState): JobState {
  if (!state.steps.some((step) => step.stepId === stepId)) {
    throw new Error(`job ${state.jobId} has no step ${stepId}`);
  }
  return { ...state, steps: state.steps.map((step) => (step.stepId === stepId ? change(step) : step)) };
}

type AttemptDetail = Pick<StepAttempt, 'entry' | 'choice' | 'lotId' | 'capture'>;

function attempted(
  state: JobState,
  event: { readonly stepId: string; readonly at: string; readonly personId: string },
  outcome: 'pass' | 'fail',
  detail: AttemptDetail = {},
  lastDecision: Decision | null = null,
): JobState {
  return withStep(state, event.stepId, (step) => ({
    ...step,
    status: outcome === 'pass' ? 'done' : step.failureIsNoted ? 'noted' : 'failed',
    attempts: [
      ...step.attempts,
      { event: state.version, at: event.at, personId: event.personId, outcome, ...detail },
    ],
    attemptsUsed: step.attemptsUsed + 1,
    lastDecision,
    concession: null,
  }));
}

function captured(state: JobState, event: JobEventOf<'measurementCaptured'>): JobState {
  const { decision } = event.capture.judgement;
  const planned = state.steps.find((step) => step.stepId === event.stepId);
  const accepted =
    decision === 'pass' || (decision === 'conditional pass' && planned?.acceptConditionalPass === true);
  return attempted(state, event, accepted ? 'pass' : 'fail', { capture: event.capture }, decision);
}

function reopened(state: JobState, event: JobEventOf<'stepReopened'>): JobState {
  const again = [event.stepId, ...event.alsoReopened];
  return again.reduce(
    (next, stepId) =>
      withStep(next, stepId, (step) => ({
        ...step,
        status: 'waiting',
        attemptsUsed: event.attemptsRenewed ? 0 : step.attemptsUsed,
        lastDecision: null,
        tare: null,
        concession: null,
        reopenings: step.reopenings + 1,
      })),
    state,
  );
}
