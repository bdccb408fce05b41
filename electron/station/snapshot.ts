import { loadDemoPeople } from '../../seeds/index.ts';
import type { JobInHandView, OpenJobView, PersonView } from '../../shared/contract.ts';
import type { JobState } from '../../shared/job/state.ts';
import type { Person } from '../../shared/people/person.ts';
import { findStep, type ServiceSheet } from '../../shared/sheet/sheet.ts';
import type { InstrumentBench } from './bench/instrument-bench.ts';
import type { PeopleDesk } from './people/people-desk.ts';

/** A person as screens know them: no PIN, no badge. */
export function personView({ personId, name, roles }: Person): PersonView {
  return { personId, name, roles };
}

/** Events of an invented account that nobody has changed: added, badge set, PIN set. */
const seededVersion = 3;

/** Read at the first look: every picture of the station asks for each of its people. */
let demoPeople: ReturnType<typeof loadDemoPeople> | undefined;

/** The same at the demo workshop, with badge and PIN while they are those that the account was invented with. */
export function demoPersonView(person: Person): PersonView {
  demoPeople ??= loadDemoPeople();
  const seed = demoPeople.find(({ personId }) => personId === person.personId);
  const isAsSeeded = person.invented && person.version === seededVersion;
  if (seed === undefined || !isAsSeeded) return personView(person);
  return { ...personView(person), demo: { badge: seed.badge, pin: seed.fictionalPin } };
}

/** An open job as one line of the list. */
export function openJobView(state: JobState, sheet: ServiceSheet, people: PeopleDesk): OpenJobView {
  const step = state.currentStepId === null ? undefined : findStep(sheet, state.currentStepId);
  return {
    jobId: state.jobId,
    serial: state.serial,
    headId: state.headId,
    phase: state.phase,
    holder: people.name(state.holderPersonId),
    openedAt: state.openedAt,
    stepTitle: step?.title ?? null,
  };
}

/** The job that a screen works on, with the measurement of its current step. */
export function jobInHandView(
  { state, sheet }: { readonly state: JobState; readonly sheet: ServiceSheet },
  earlierVisits: number,
  bench: InstrumentBench,
): JobInHandView {
  return { state, sheet, measurement: bench.measurementView(state, sheet), earlierVisits };
}
