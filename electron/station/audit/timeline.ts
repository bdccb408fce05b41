import { type Finding, findingText } from '../../../shared/audit/finding.ts';
import type { JsonObject } from '../../../shared/evidence/canonical-json.ts';
import { jobEndBy, jobEndKinds } from '../../../shared/evidence/job-evidence.ts';
import { recordedCapture } from '../../../shared/evidence/job-record.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import type { JobEvent, JobEventOf } from '../../../shared/job/event.ts';
import type { EvidenceReader, JobEntry, OpenedEntry } from '../store/evidence-reader.ts';

/** A job event with its link in the chain. */
export interface TimelineEvent<Event extends JobEvent = JobEvent> {
  readonly stored: StoredEvent;
  readonly event: Event;
}

/** One visit of a serial: a job with everything that happened, in order. */
export interface Visit {
  readonly job: JobEntry;
  /** Undefined where the first event was altered or removed. */
  readonly opening: TimelineEvent<JobEventOf<'jobOpened'>> | undefined;
  readonly events: readonly TimelineEvent[];
  readonly captures: readonly TimelineEvent<JobEventOf<'measurementCaptured'>>[];
  /** Hash of the newest signed record; null while the job is at the bench. */
  readonly recordHash: string | null;
  /** Each event that was altered or is missing; nothing of it is shown. */
  readonly damage: readonly Finding[];
}

/** Every visit of a serial, oldest first; empty for a serial that never came. */
export function readVisits(reader: EvidenceReader, serial: string): readonly Visit[] {
  return reader.openedOfSerial(serial).map((opened) => readVisit(reader, opened));
}

/** What a captured reading is told with. */
export type ReadingSource = Pick<Visit, 'job' | 'opening' | 'captures' | 'recordHash'>;

const kindsWithReadings: ReadonlySet<string> = new Set([
  ...['jobOpened', 'measurementCaptured'],
  ...jobEndKinds,
]);

/** What the readings of a job stand in: as much of a visit as they need. */
export function readReadings(reader: EvidenceReader, opened: OpenedEntry): ReadingSource {
  return visitOf(reader, opened, kindsWithReadings);
}

/** A visit by its job. */
export function readVisit(reader: EvidenceReader, opened: OpenedEntry): Visit {
  return visitOf(reader, opened, undefined);
}

function visitOf(reader: EvidenceReader, opened: OpenedEntry, kinds: ReadonlySet<string> | undefined): Visit {
  const { jobId } = opened;
  const { events: stored, damage } = reader.readWhatIsLeft(`job/${jobId}`, kinds);
  // Validated when it was written; the reader hands out nothing whose hash does not fit.
  const events = stored.map(
    (one): TimelineEvent => ({ stored: one, event: one.body as JsonObject & JobEvent }),
  );
  // Of a visit with damage the event that ended it may be gone.
  const job = (damage.length > 0 ? reader.findJob(jobId) : undefined) ?? { ...opened, ...endOf(stored) };
  const opening = events.find(isOf('jobOpened'));
  const captures = events.filter(isOf('measurementCaptured'));
  return { job, opening, events, captures, recordHash: reader.recordHashOf(jobId) ?? null, damage };
}

/** How a job ended; a released one may be voided later. */
function endOf(events: readonly StoredEvent[]): Pick<JobEntry, 'phase' | 'endedAt'> {
  for (const event of events.toReversed()) {
    const end = jobEndBy(event);
    if (end !== undefined) return { phase: end.phase, endedAt: end.at };
  }
  return { phase: null, endedAt: null };
}

function isOf<Kind extends JobEvent['kind']>(kind: Kind) {
  return (entry: TimelineEvent): entry is TimelineEvent<JobEventOf<Kind>> => entry.event.kind === kind;
}

/** A visit as `serial --json` prints it: the signed record, and every captured reading whether or not there is one. */
export function visitAsJson(
  reader: EvidenceReader,
  { job, opening, captures, events, damage }: Visit,
): JsonObject {
  const event = opening?.event;
  return {
    jobId: job.jobId,
    serial: job.serial,
    headId: job.headId,
    openedAt: event?.at ?? job.openedAt,
    phase: job.phase ?? 'open',
    endedAt: job.endedAt,
    simulated: event?.simulated ?? null,
    workshop: event?.workshop ?? null,
    sheet: sheetOf(event),
    damage: damage.map(findingText),
    captures: captures.map((capture) => captureAsJson(reader, capture)),
    history: events
      .filter(({ event: { kind } }) => kind !== 'measurementCaptured')
      .map(({ stored, event: happened }) => ({
        sequence: stored.sequence,
        hash: stored.hash,
        at: happened.at,
        personId: happened.personId,
        kind: happened.kind,
        ...('stepId' in happened ? { stepId: happened.stepId } : {}),
        ...wordsOf(happened),
      })),
    record: reader.recordOf(job.jobId)?.record ?? null,
  };
}

/** The sheet that a job pinned. */
export function sheetOf(opening: JobEventOf<'jobOpened'> | undefined): JsonObject | null {
  if (opening === undefined) return null;
  return { sheetId: opening.sheetId, revision: opening.sheetRevision, hash: opening.sheetHash };
}

/** What an auditor asks of an event besides who, when and where. */
export function wordsOf(event: JobEvent): JsonObject {
  switch (event.kind) {
    case 'consumableUsed':
      return { consumableId: event.consumableId, lotId: event.lotId };
    case 'partDisposed':
      return { choice: event.choice, reason: event.reason ?? null, replacement: event.replacement ?? null };
    case 'checkAnswered':
      return { answer: event.answer, remark: event.remark ?? null };
    case 'numericRecorded':
      return { text: event.text, unit: event.unit, within: event.within };
    case 'tareTaken':
      return { text: event.indication.text, unit: event.indication.unit };
    case 'noteWritten':
      return { text: event.text };
    case 'amendmentMade':
      return { of: event.of, reason: event.reason, text: event.text };
    case 'concessionGranted':
      return { reason: event.reason, limit: event.limit };
    default:
      return 'reason' in event && event.reason !== undefined ? { reason: event.reason } : {};
  }
}

/** One captured reading: as in the record, and with its trace, its profile by name and its certificate. */
export function captureAsJson(
  reader: Pick<EvidenceReader, 'getDocument'>,
  { stored, event }: TimelineEvent<JobEventOf<'measurementCaptured'>>,
): JsonObject {
  const { capture } = event;
  return {
    ...recordedCapture(event, stored),
    hash: stored.hash,
    trace: { startedAt: capture.trace.startedAt, points: capture.trace.points },
    profile: namedDocument(reader, capture.evidence.profileHash),
    certificate: namedDocument(reader, capture.instrument.certificateHash),
  };
}

/** The name, number and revision that a document gives itself; null when there is none. */
function namedDocument(reader: Pick<EvidenceReader, 'getDocument'>, hash: string | null): JsonObject | null {
  const document = hash === null ? undefined : reader.getDocument(hash);
  if (document === undefined) return null;
  const named = ['name', 'title', 'number', 'revision', 'issuedAt', 'calibratedOn', 'due']
    .filter((name) => ['string', 'number'].includes(typeof document.body[name]))
    .map((name) => [name, document.body[name]] as const);
  return { hash, ...Object.fromEntries(named) };
}
