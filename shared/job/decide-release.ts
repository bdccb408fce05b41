import { addMonths } from '../day.ts';
import { dayOf } from '../identifier.ts';
import { ok, type Result, refuse } from '../result.ts';
import type { ServiceSheet } from '../sheet/sheet.ts';
import type { JobContext } from './context.ts';
import type { JobEvent } from './event.ts';
import { isFinished } from './readiness.ts';
import type { JobState } from './state.ts';

/** Steps that keep a job from release: mandatory ones not finished, and any that stands failed. */
export function stepsBeforeRelease(state: JobState): readonly string[] {
  return state.steps
    .filter((step) => step.status === 'failed' || (step.mandatory && !isFinished(step.status)))
    .map((step) => step.stepId);
}

/** Releases the tool: every mandatory step passed or conceded, no failure standing, signed with the PIN. */
export function decideRelease(
  state: JobState,
  sheet: ServiceSheet,
  context: JobContext,
): Result<readonly JobEvent[]> {
  const open = stepsBeforeRelease(state);
  if (open.length > 0) {
    return refuse('steps_open', 'jobId', `Still open: ${open.join(', ')}; finish them first.`);
  }
  if (!context.pinVerified) return refuse('pin_required', 'pin', 'A release takes the PIN; enter it.');
  const attempts = state.steps.flatMap((step) => step.attempts);
  const { nextServiceMonths } = sheet;
  return ok([
    {
      kind: 'jobReleased',
      jobId: state.jobId,
      at: context.at,
      personId: context.person.personId,
      summary: {
        steps: state.steps.map(({ stepId, status }) => ({ stepId, status })),
        captures: attempts.filter((attempt) => attempt.capture !== undefined).length,
        failedAttempts: attempts.filter((attempt) => attempt.outcome === 'fail').length,
        concessions: state.steps.filter((step) => step.status === 'conceded').map((step) => step.stepId),
        nextServiceDue:
          nextServiceMonths === undefined ? null : addMonths(dayOf(context.at), nextServiceMonths),
      },
    },
  ]);
}
