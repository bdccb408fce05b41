import { mayDo } from '../people/permission.ts';
import { ok, type Result, refuse } from '../result.ts';
import type { JobCommandOf } from './command.ts';
import type { JobContext } from './context.ts';
import type { JobEvent } from './event.ts';
import type { JobState } from './state.ts';

/** Puts the job into the hands of another person who may work at the bench. */
export function decideHandOver(
  state: JobState,
  command: JobCommandOf<'handOverJob'>,
  context: JobContext,
): Result<readonly JobEvent[]> {
  const { toPersonId, remark } = command;
  const { secondPerson } = context;
  if (toPersonId === state.holderPersonId) {
    return refuse('same_person', 'toPersonId', `${toPersonId} has the job already; choose another person.`);
  }
  if (secondPerson === undefined || secondPerson.personId !== toPersonId) {
    return refuse('person_unknown', 'toPersonId', `${toPersonId} is not known here; choose another person.`);
  }
  if (!mayDo(secondPerson.roles, 'openJob')) {
    return refuse('second_person_not_allowed', 'toPersonId', `${toPersonId} does not work at the bench.`);
  }
  return ok([
    {
      kind: 'jobHandedOver',
      jobId: state.jobId,
      at: context.at,
      personId: context.person.personId,
      toPersonId,
      ...(remark === undefined ? {} : { remark }),
    },
  ]);
}

/** Declares a job void: it takes a second person, a lead, who has entered the PIN. */
export function decideVoid(
  state: JobState,
  command: JobCommandOf<'voidJob'>,
  context: JobContext,
): Result<readonly JobEvent[]> {
  const { secondPerson } = context;
  if (secondPerson === undefined) {
    return refuse(
      'second_person_missing',
      'secondPerson',
      'A void takes a second person; ask a lead to sign.',
    );
  }
  if (secondPerson.personId === context.person.personId) {
    return refuse('same_person', 'secondPerson', 'A void takes two people; ask another lead to sign.');
  }
  if (!mayDo(secondPerson.roles, 'approveVoid')) {
    return refuse('second_person_not_allowed', 'secondPerson', 'Only a lead may agree to a void; ask one.');
  }
  if (!secondPerson.pinVerified) {
    return refuse('pin_required', 'secondPerson.pin', 'The second person signs with the PIN; enter it.');
  }
  return ok([
    {
      kind: 'jobVoided',
      jobId: state.jobId,
      at: context.at,
      personId: context.person.personId,
      reason: command.reason,
      secondPersonId: secondPerson.personId,
    },
  ]);
}
