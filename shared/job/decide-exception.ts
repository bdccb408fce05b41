import { ok, type Result, refuse } from '../result.ts';
import type { JobCommandOf } from './command.ts';
import type { JobContext } from './context.ts';
import type { JobEvent } from './event.ts';
import { areAttemptsExhausted } from './gate.ts';
import { isFinished, stepsAfter } from './readiness.ts';
import type { JobState, StepState } from './state.ts';

function findProgress(state: JobState, stepId: string): Result<StepState> {
  const progress = state.steps.find((step) => step.stepId === stepId);
  return progress === undefined
    ? refuse('no_such_step', 'stepId', `The job has no step ${stepId}; choose one of its steps.`)
    : ok(progress);
}

/** Nobody grants themselves an exception: not the holder of the job, nor whoever tried the step. */
function isOwn(state: JobState, progress: StepState, personId: string): boolean {
  return (
    state.holderPersonId === personId || progress.attempts.some((attempt) => attempt.personId === personId)
  );
}

/** A lead accepts a failed step as it is, with reason and limit. The failed judgement stays in the record. */
export function decideConcession(
  state: JobState,
  command: JobCommandOf<'grantConcession'>,
  context: JobContext,
): Result<readonly JobEvent[]> {
  const found = findProgress(state, command.stepId);
  if (!found.ok) return found;
  const { stepId, reason, limit } = command;
  if (found.value.status !== 'failed') {
    return refuse('step_not_failed', 'stepId', `Step ${stepId} has not failed; there is nothing to concede.`);
  }
  if (isOwn(state, found.value, context.person.personId)) {
    return refuse('own_concession', 'personId', 'Nobody concedes their own work; ask another lead.');
  }
  if (!context.pinVerified) return refuse('pin_required', 'pin', 'A concession takes the PIN; enter it.');
  const envelope = { jobId: state.jobId, at: context.at, personId: context.person.personId };
  return ok([{ kind: 'concessionGranted', ...envelope, stepId, reason, limit }]);
}

/**
 * Sets a step back, and with it every finished step that comes after. Attempts stay counted, unless a lead who
 * did not make them reopens. Conceded and exhausted steps are for such a lead alone.
 */
export function decideReopening(
  state: JobState,
  command: JobCommandOf<'reopenStep'>,
  context: JobContext,
): Result<readonly JobEvent[]> {
  const found = findProgress(state, command.stepId);
  if (!found.ok) return found;
  const { stepId, reason } = command;
  const progress = found.value;
  if (!isFinished(progress.status) && progress.attempts.length === 0) {
    return refuse('step_not_done', 'stepId', `Step ${stepId} is not done yet; there is nothing to reopen.`);
  }
  const isFreeLead =
    context.person.roles.includes('lead') && !isOwn(state, progress, context.person.personId);
  if (!isFreeLead && (progress.status === 'conceded' || areAttemptsExhausted(progress))) {
    return refuse(
      'lead_required',
      'personId',
      `Step ${stepId} is conceded or out of attempts; another person who is a lead must reopen it.`,
    );
  }
  const after = new Set(stepsAfter(state.steps, stepId));
  const alsoReopened = state.steps
    .filter((step) => after.has(step.stepId) && (isFinished(step.status) || step.status === 'failed'))
    .map((step) => step.stepId);
  const envelope = { jobId: state.jobId, at: context.at, personId: context.person.personId };
  return ok([
    { kind: 'stepReopened', ...envelope, stepId, reason, alsoReopened, attemptsRenewed: isFreeLead },
  ]);
}
