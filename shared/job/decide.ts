import { mayDo } from '../people/permission.ts';
import { ok, type Result, refuse } from '../result.ts';
import type { JobCommand, StandingJobCommand } from './command.ts';
import type { JobContext } from './context.ts';
import { decideConcession, decideReopening } from './decide-exception.ts';
import { decideMeasurement, decideTare } from './decide-measurement.ts';
import { decideOpening } from './decide-opening.ts';
import { decideRelease } from './decide-release.ts';
import { decideStep } from './decide-step.ts';
import { decideHandOver, decideVoid } from './decide-two-people.ts';
import type { JobEvent } from './event.ts';
import { checkHolder, checkPhase, checkSheet } from './gate.ts';
import type { JobState } from './state.ts';

/**
 * What a command makes of a job: the events to append, or the refusal. Pure, and it never throws: the station
 * runs it before it appends, a screen runs it to know what is enabled.
 */
export function decide(
  state: JobState | undefined,
  command: JobCommand,
  context: JobContext,
): Result<readonly JobEvent[]> {
  if (!mayDo(context.person.roles, command.kind)) {
    return refuse('not_allowed', 'personId', `${command.kind} takes another role; ask a person who has it.`);
  }
  if (command.kind === 'openJob') return decideOpening(state, command, context);
  if (state === undefined) {
    return refuse('no_such_job', 'jobId', `There is no job ${command.jobId}; open one first.`);
  }
  if (command.jobId !== state.jobId) {
    return refuse(
      'other_job',
      'jobId',
      `${command.jobId} is another job than ${state.jobId}; take it in hand.`,
    );
  }
  if (command.expectedVersion !== undefined && command.expectedVersion !== state.version) {
    return refuse(
      'job_moved_on',
      'expectedVersion',
      `The job stands at ${state.version} events, not ${command.expectedVersion}; look at it again.`,
    );
  }
  const closed = checkPhase(state, command) ?? checkHolder(state, command, context.person);
  if (closed !== null) return { ok: false, error: closed };
  return decideStanding(state, command, context);
}

function decideStanding(
  state: JobState,
  command: StandingJobCommand,
  context: JobContext,
): Result<readonly JobEvent[]> {
  const envelope = { jobId: state.jobId, at: context.at, personId: context.person.personId };
  switch (command.kind) {
    case 'holdJob': {
      const { reason } = command;
      return ok([{ kind: 'jobHeld', ...envelope, ...(reason === undefined ? {} : { reason }) }]);
    }
    case 'resumeJob':
      return ok([{ kind: 'jobResumed', ...envelope }]);
    case 'abandonJob':
      return ok([{ kind: 'jobAbandoned', ...envelope, reason: command.reason }]);
    case 'handOverJob':
      return decideHandOver(state, command, context);
    case 'voidJob':
      return decideVoid(state, command, context);
    case 'amend': {
      const { of, reason, text } = command;
      if (of >= state.version) {
        return refuse(
          'no_such_event',
          'of',
          `The job has ${state.version} events, counted from 0; name one.`,
        );
      }
      return ok([{ kind: 'amendmentMade', ...envelope, of, reason, text }]);
    }
    case 'writeNote':
      if (command.stepId === undefined) {
        return ok([{ kind: 'noteWritten', ...envelope, stepId: null, text: command.text }]);
      }
      return decideStep(state, { ...command, stepId: command.stepId }, context);
    case 'grantConcession':
      return decideConcession(state, command, context);
    case 'reopenStep':
      return decideReopening(state, command, context);
    case 'takeTare':
      return decideTare(state, command, context);
    case 'captureMass':
    case 'captureTorque':
      return decideMeasurement(state, command, context);
    case 'releaseJob': {
      const sheet = checkSheet(state, context);
      return sheet.ok ? decideRelease(state, sheet.value, context) : sheet;
    }
    default:
      return decideStep(state, command, context);
  }
}
