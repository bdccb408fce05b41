import type { JobEventOf } from '../../../shared/job/event.ts';
import { foldAll } from '../../../shared/job/fold.ts';
import type { JobState } from '../../../shared/job/state.ts';
import { findStep } from '../../../shared/sheet/sheet.ts';
import type { Step } from '../../../shared/sheet/step.ts';
import type { EntryHead } from './block.ts';
import type { RecordedEvent, ServiceRecordSource } from './service-record-source.ts';
import type { Wording } from './wording/wording.ts';

/** An event with its number in the job. */
export interface NumberedEvent extends RecordedEvent {
  readonly number: number;
}

/** A job on its way to paper: its events, its state, and how things are called. */
export interface RecordContext {
  readonly source: ServiceRecordSource;
  readonly wording: Wording;
  readonly state: JobState;
  readonly opening: JobEventOf<'jobOpened'>;
  readonly events: readonly NumberedEvent[];
  /** Name with the id that the evidence holds. */
  person(personId: string): string;
  /** Name alone, for lines where the id would be in the way. */
  name(personId: string): string;
  step(stepId: string): Step | undefined;
  /** `7 Fill the recess`. */
  stepLabel(stepId: string): string;
  stepTitle(stepId: string): string;
  stepNumber(stepId: string): number;
  head(event: NumberedEvent): EntryHead;
  /** `Amended, see no. 31`, or null. */
  amended(number: number): string | null;
}

/**
 * @throws Error for events that are none of one job; the store hands over whole jobs only
 */
export function createRecordContext(source: ServiceRecordSource, wording: Wording): RecordContext {
  const state = foldAll(source.events.map(({ event }) => event));
  const opening = source.events[0]?.event;
  if (state === undefined || opening?.kind !== 'jobOpened') {
    throw new Error('a service record needs a job that begins with jobOpened');
  }
  const name = (personId: string) => source.names.get(personId) ?? personId;
  const numbers = new Map(state.steps.map(({ stepId }, index) => [stepId, index + 1]));
  const step = (stepId: string) => (source.sheet === null ? undefined : findStep(source.sheet, stepId));
  const stepTitle = (stepId: string) => {
    const found = step(stepId);
    return found === undefined ? stepId : wording.of(found.title);
  };
  return {
    source,
    wording,
    state,
    opening,
    events: source.events.map((recorded, number) => ({ ...recorded, number })),
    person: (personId) => (name(personId) === personId ? personId : `${name(personId)} (${personId})`),
    name,
    step,
    stepTitle,
    stepNumber: (stepId) => numbers.get(stepId) ?? 0,
    stepLabel: (stepId) => `${numbers.get(stepId) ?? '?'} ${stepTitle(stepId)}`,
    head: ({ event, number }) => ({
      eventNumber: number,
      at: wording.moment(event.at),
      person: name(event.personId),
    }),
    amended(number) {
      const by = state.amendments.filter(({ of }) => of === number).map(({ event }) => String(event));
      return by.length === 0 ? null : wording.say.entry.amendedBy(by.join(', '));
    },
  };
}
