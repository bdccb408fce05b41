import type { Actor } from '../people/role.ts';
import { ok, type Refusal, type Result, refuse } from '../result.ts';
import { findStep, type ServiceSheet } from '../sheet/sheet.ts';
import type { StepKind, StepOf } from '../sheet/step.ts';
import type { StandingJobCommand } from './command.ts';
import type { JobContext } from './context.ts';
import { isFinished, openStepsBefore } from './readiness.ts';
import type { JobPhase, JobState, StepState } from './state.ts';

type Kind = StandingJobCommand['kind'];

/** Phases in which a command makes sense; what is not listed needs an open job. */
const phases: Partial<Record<Kind, readonly JobPhase[]>> = {
  resumeJob: ['held'],
  handOverJob: ['open', 'held'],
  abandonJob: ['open', 'held'],
  voidJob: ['open', 'held', 'released', 'abandoned'],
  amend: ['open', 'held', 'released', 'abandoned', 'voided'],
};

const phaseSentences: Readonly<Record<JobPhase, string>> = {
  open: 'The job is open already.',
  held: 'The job is on hold; resume it first.',
  released: 'The job is released; only an amendment or a void is left.',
  abandoned: 'The job is abandoned; open a new one.',
  voided: 'The job is void; open a new one.',
};

/** Refuses a command that does not fit the phase of the job. */
export function checkPhase(state: JobState, command: StandingJobCommand): Refusal | null {
  const isFreeNote = command.kind === 'writeNote' && command.stepId === undefined;
  const allowed = isFreeNote ? (['open', 'held'] as const) : (phases[command.kind] ?? ['open']);
  if ((allowed as readonly JobPhase[]).includes(state.phase)) return null;
  return { code: `job_${state.phase}`, field: 'jobId', message: phaseSentences[state.phase] };
}

/** Who besides the holder may give a command: any person whom the role table lets, or a lead. */
const notHolderOnly: Partial<Record<Kind, 'anyone' | 'lead'>> = {
  signOffStep: 'anyone',
  grantConcession: 'anyone',
  amend: 'anyone',
  voidJob: 'anyone',
  reopenStep: 'lead',
  holdJob: 'lead',
  resumeJob: 'lead',
  handOverJob: 'lead',
  abandonJob: 'lead',
  releaseJob: 'lead',
};

/** Refuses work on a job that another person holds. */
export function checkHolder(state: JobState, command: StandingJobCommand, person: Actor): Refusal | null {
  if (person.personId === state.holderPersonId) return null;
  const isFreeNote = command.kind === 'writeNote' && command.stepId === undefined;
  const open = isFreeNote ? 'anyone' : notHolderOnly[command.kind];
  if (open === 'anyone' || (open === 'lead' && person.roles.includes('lead'))) return null;
  return {
    code: 'not_holder',
    field: 'personId',
    message: `The job is in the hands of ${state.holderPersonId}; have it handed over first.`,
  };
}

/** The sheet that the job pins, or a refusal when the one at hand is another. */
export function checkSheet(state: JobState, context: JobContext): Result<ServiceSheet> {
  const { sheet } = context;
  if (sheet === undefined) {
    return refuse('sheet_missing', 'sheetId', `Sheet ${state.sheetId} is not there; restore it.`);
  }
  if (sheet.hash !== state.sheetHash) {
    return refuse(
      'sheet_changed',
      'sheetId',
      `The job works to revision ${state.sheetRevision} of ${state.sheetId}; this is another one.`,
    );
  }
  return ok(sheet.sheet);
}

/** A step of the job together with its words in the sheet. */
export interface StepInHand<Kind extends StepKind> {
  readonly step: StepOf<Kind>;
  readonly progress: StepState;
}

/** The step a command names, if it is of that kind and may be done now. */
export function checkStep<Kind extends StepKind>(
  state: JobState,
  context: JobContext,
  stepId: string,
  kind: Kind,
): Result<StepInHand<Kind>> {
  const sheet = checkSheet(state, context);
  if (!sheet.ok) return sheet;
  const step = findStep(sheet.value, stepId);
  const progress = state.steps.find((candidate) => candidate.stepId === stepId);
  if (step === undefined || progress === undefined) {
    return refuse('no_such_step', 'stepId', `The sheet has no step ${stepId}; choose one of its steps.`);
  }
  if (!isOfKind(step, kind)) {
    return refuse('wrong_step_kind', 'stepId', `Step ${stepId} is a ${step.kind} step, not ${kind}.`);
  }
  if (isFinished(progress.status)) {
    return refuse(
      'step_finished',
      'stepId',
      `Step ${stepId} is finished; reopen it with a reason to redo it.`,
    );
  }
  const open = openStepsBefore(state.steps, stepId);
  if (open.length > 0) {
    return refuse(
      'step_waiting',
      'stepId',
      `Step ${stepId} comes after ${open.join(', ')}; finish that first.`,
    );
  }
  if (areAttemptsExhausted(progress)) {
    return refuse(
      'attempts_exhausted',
      'stepId',
      `All ${progress.maximumAttempts} attempts at ${stepId} are used; a lead must concede or reopen it.`,
    );
  }
  return ok({ step, progress });
}

function isOfKind<Kind extends StepKind>(step: { kind: StepKind }, kind: Kind): step is StepOf<Kind> {
  return step.kind === kind;
}

/** True when only a lead can help. */
export function areAttemptsExhausted(progress: StepState): boolean {
  return progress.maximumAttempts !== null && progress.attemptsUsed >= progress.maximumAttempts;
}
