import { type Finding, finding } from '../../../shared/audit/finding.ts';
import { toBase64 } from '../../../shared/evidence/base64.ts';
import type { JsonObject } from '../../../shared/evidence/canonical-json.ts';
import { type RecordProof, type SignedRecord, sealedRecord } from '../../../shared/evidence/signed-record.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import {
  AlteredRow,
  bytesOf,
  checkRow,
  eventOfRow,
  eventSelection,
  hexOf,
  type SelectedEvent,
} from './event-row.ts';
import { type CaptureFilter, captureCondition, type JobFilter, jobCondition } from './filters.ts';
import { selectionOf } from './index-tables.ts';
import type { Database, Statement } from './sqlite.ts';
import { StoreFault, storeFaultOf } from './store-fault.ts';

/** The opening of a job as the index has it. */
export interface OpenedEntry {
  readonly jobId: string;
  readonly serial: string;
  readonly headId: string;
  readonly personId: string | null;
  /** UTC. */
  readonly openedAt: string;
  /** Place of its first event in the chain. */
  readonly sequence: number;
}

/** A job as the index has it. */
export interface JobEntry extends OpenedEntry {
  /** `released`, `abandoned`, `voided`; null while the job is at the bench. */
  readonly phase: string | null;
  readonly endedAt: string | null;
}

export interface StoredDocument {
  readonly hash: string;
  readonly kind: string;
  readonly body: JsonObject;
}

export interface StoredRecord {
  readonly jobId: string;
  /** 1 at the release; each amendment after it makes the next. */
  readonly revision: number;
  readonly serial: string;
  readonly sequence: number;
  /** The content, its hash and signature, as `demo` and `serial` print it. */
  readonly record: SignedRecord;
}

/** A captured reading as the index has it. */
export interface CaptureEntry {
  readonly sequence: number;
  readonly captureId: string;
  readonly jobId: string;
  readonly serial: string;
  readonly headId: string;
  readonly stepId: string;
  readonly quantity: string;
  readonly instrumentId: string;
  readonly certificateHash: string | null;
  readonly decision: string | null;
  readonly personId: string | null;
  /** UTC. */
  readonly at: string;
}

/** Reads the evidence. Every method is one or a few short reads; faults throw StoreFault. */
export interface EvidenceReader {
  /** Events of a stream in order, from a version on (default 1). Empty for an unknown stream. */
  readStream(stream: string, fromVersion?: number): readonly StoredEvent[];
  /**
   * The same for somebody who must see what is left: the intact events of a stream, and a finding for each one
   * that was altered or is missing.
   *
   * @param kinds only events of these kinds are handed out; left out: of all
   */
  readWhatIsLeft(
    stream: string,
    kinds?: ReadonlySet<string>,
  ): {
    readonly events: readonly StoredEvent[];
    readonly damage: readonly Finding[];
  };
  /** Events of all streams that begin with a prefix such as `sheet/`, in the order of the chain. */
  readStreams(prefix: string): readonly StoredEvent[];
  /** Number of events of a stream, 0 for an unknown one: what `append` expects as `expectedVersion`. */
  versionOf(stream: string): number;
  /** Up to `limit` events after a place in the chain. */
  eventsSince(sequence: number, limit: number): readonly StoredEvent[];
  /** Place of the last event, 0 for an empty chain. */
  lastSequence(): number;
  /** The event at a place in the chain. */
  eventAt(sequence: number): StoredEvent | undefined;
  /** Captures that meet a filter, in the order of the chain, after a place in it. */
  findCaptures(filter: CaptureFilter, after: number, limit: number): readonly CaptureEntry[];
  countCaptures(filter: CaptureFilter): number;
  /** The first captures of a job, in the order of the chain. */
  capturesOfJob(jobId: string, limit: number): readonly CaptureEntry[];
  /** Jobs that meet a filter, in the order of the chain, after a place in it. */
  findJobs(filter: JobFilter, after: number, limit: number): readonly JobEntry[];
  countJobs(filter: JobFilter): number;
  getDocument(hash: string): StoredDocument | undefined;
  documentsOfKind(kind: string): readonly StoredDocument[];
  findJob(jobId: string): JobEntry | undefined;
  /** Every visit of a serial, oldest first. */
  jobsOfSerial(serial: string): readonly JobEntry[];
  /** A job without how it ended, for those who read its events, which say it. */
  openedJob(jobId: string): OpenedEntry | undefined;
  /** The same without how each ended, for those who read its events, which say it. */
  openedOfSerial(serial: string): readonly OpenedEntry[];
  /** Serials that begin with a text, the newest visit first; of no text the newest ones. */
  findSerials(
    text: string,
    limit: number,
  ): readonly { serial: string; headId: string; lastVisitAt: string }[];
  /** Jobs at the bench: opened and not ended, oldest first. */
  openJobs(): readonly JobEntry[];
  /** The newest record of a job. */
  recordOf(jobId: string): StoredRecord | undefined;
  /** The hash of the newest record of a job. */
  recordHashOf(jobId: string): string | undefined;
  /** Every record of a job, oldest first. */
  recordsOf(jobId: string): readonly StoredRecord[];
}

const lastEnd = '(SELECT max(sequence) FROM job_end WHERE job_id = job.job_id)';
const jobSelection = `${selectionOf('job')}, job_end.phase AS "phase", job_end.at AS "endedAt"`;
const jobSource = `job LEFT JOIN job_end ON job_end.sequence = ${lastEnd}`;
const captureSelection = selectionOf('capture');
const recordColumns = 'job_id, revision, serial, sequence, body, hash, key_id, signature';

interface RecordRow {
  job_id: string;
  revision: number;
  serial: string;
  sequence: number;
  body: string;
  hash: Uint8Array;
  key_id: string;
  signature: Uint8Array;
}

/** A reader over an open database. */
export function createEvidenceReader(database: Database): EvidenceReader {
  const sql = {
    stream: database.prepare<[string, number], SelectedEvent>(
      `SELECT ${eventSelection} FROM event WHERE stream = ? AND version >= ? ORDER BY version`,
    ),
    streams: database.prepare<[string, string], SelectedEvent>(
      `SELECT ${eventSelection} FROM event WHERE stream >= ? AND stream < ? ORDER BY sequence`,
    ),
    version: database
      .prepare<[string], number>('SELECT coalesce(max(version), 0) FROM event WHERE stream = ?')
      .pluck(),
    since: database.prepare<[number, number], SelectedEvent>(
      `SELECT ${eventSelection} FROM event WHERE sequence > ? ORDER BY sequence LIMIT ?`,
    ),
    last: database.prepare<[], number>('SELECT coalesce(max(sequence), 0) FROM event').pluck(),
    document: database.prepare<[Uint8Array], { hash: Uint8Array; kind: string; body: string }>(
      'SELECT hash, kind, body FROM document WHERE hash = ?',
    ),
    documents: database.prepare<[string], { hash: Uint8Array; kind: string; body: string }>(
      'SELECT hash, kind, body FROM document WHERE kind = ? ORDER BY rowid',
    ),
    job: database.prepare<[string], JobEntry>(
      `SELECT ${jobSelection} FROM ${jobSource} WHERE job.job_id = ?`,
    ),
    serial: database.prepare<[string], JobEntry>(
      `SELECT ${jobSelection} FROM ${jobSource} WHERE job.serial = ? ORDER BY job.sequence`,
    ),
    openedJob: database.prepare<[string], OpenedEntry>(
      `SELECT ${selectionOf('job')} FROM job WHERE job_id = ?`,
    ),
    openedOfSerial: database.prepare<[string], OpenedEntry>(
      `SELECT ${selectionOf('job')} FROM job WHERE serial = ? ORDER BY sequence`,
    ),
    serials: database.prepare<
      [string, string, number],
      { serial: string; headId: string; lastVisitAt: string }
    >(
      // Bounded, whatever is typed: of a short text only the first serials in the order of the alphabet.
      `SELECT serial, head_id AS "headId", max(opened_at) AS "lastVisitAt" FROM
         (SELECT serial, head_id, opened_at, sequence FROM job WHERE serial >= ? AND serial < ?
          ORDER BY serial, sequence LIMIT 5000)
       GROUP BY serial ORDER BY max(sequence) DESC LIMIT ?`,
    ),
    newestSerials: database.prepare<[number], { serial: string; headId: string; lastVisitAt: string }>(
      `SELECT serial, head_id AS "headId", max(opened_at) AS "lastVisitAt" FROM
         (SELECT serial, head_id, opened_at, sequence FROM job ORDER BY sequence DESC LIMIT 2000)
       GROUP BY serial ORDER BY max(sequence) DESC LIMIT ?`,
    ),
    capturesOfJob: database.prepare<[string, number], CaptureEntry>(
      `SELECT ${selectionOf('capture')} FROM capture WHERE job_id = ? ORDER BY sequence LIMIT ?`,
    ),
    // CROSS: the few open jobs lead, whatever the planner thinks of their number.
    open: database.prepare<[], JobEntry>(
      `SELECT ${jobSelection} FROM open_job CROSS JOIN job ON job.job_id = open_job.job_id LEFT JOIN job_end ON job_end.sequence = ${lastEnd}
       WHERE job_end.sequence IS NULL ORDER BY job.sequence`,
    ),
    recordHash: database
      .prepare<[string], Uint8Array>(
        'SELECT hash FROM record WHERE job_id = ? ORDER BY revision DESC LIMIT 1',
      )
      .pluck(),
    records: database.prepare<[string], RecordRow>(
      `SELECT ${recordColumns} FROM record WHERE job_id = ? ORDER BY revision`,
    ),
  };
  let captures: { readonly text: string; readonly found: Statement<unknown[], CaptureEntry> } | undefined;
  /** Of one filter after the other many pieces are asked for. */
  const capturesBy = (text: string) => {
    if (captures?.text !== text) captures = { text, found: database.prepare<unknown[], CaptureEntry>(text) };
    return captures.found;
  };
  const count = (text: string, values: readonly unknown[]) =>
    database
      .prepare<unknown[], number>(text)
      .pluck()
      .get(...values) ?? 0;
  const readStreamFrom = (stream: string, fromVersion: number) =>
    sql.stream.all(stream, fromVersion).map(eventOfRow);
  const recordsOf = (jobId: string) => sql.records.all(jobId).map(recordOfRow);
  return guarded({
    readStream: (stream, fromVersion = 1) => readStreamFrom(stream, fromVersion),
    readWhatIsLeft: (stream, kinds) => whatIsLeft(stream, sql.stream.all(stream, 1), kinds),
    readStreams: (prefix) => sql.streams.all(prefix, after(prefix)).map(eventOfRow),
    versionOf: (stream) => sql.version.get(stream) ?? 0,
    eventsSince: (sequence, limit) => sql.since.all(sequence, limit).map(eventOfRow),
    lastSequence: () => sql.last.get() ?? 0,
    eventAt: (sequence) =>
      sql.since
        .all(sequence - 1, 1)
        .map(eventOfRow)
        .find((event) => event.sequence === sequence),
    findCaptures(filter, after, limit) {
      const { where, values } = captureCondition(filter);
      return capturesBy(
        `SELECT ${captureSelection} FROM capture WHERE sequence > ?${where} ORDER BY sequence LIMIT ?`,
      ).all(after, ...values, limit);
    },
    countCaptures(filter) {
      const { where, values } = captureCondition(filter);
      return count(`SELECT count(*) FROM capture WHERE sequence > 0${where}`, values);
    },
    capturesOfJob: (jobId, limit) => sql.capturesOfJob.all(jobId, limit),
    findJobs(filter, after, limit) {
      const { where, values } = jobCondition(filter);
      return database
        .prepare<unknown[], JobEntry>(
          `SELECT ${jobSelection} FROM ${jobSource} WHERE job.sequence > ?${where} ORDER BY job.sequence LIMIT ?`,
        )
        .all(after, ...values, limit);
    },
    countJobs(filter) {
      const { where, values } = jobCondition(filter);
      return count(`SELECT count(*) FROM job WHERE sequence > 0${where}`, values);
    },
    getDocument(hash) {
      const row = sql.document.get(bytesOf(hash));
      return row && documentOfRow(row);
    },
    documentsOfKind: (kind) => sql.documents.all(kind).map(documentOfRow),
    findJob: (jobId) => sql.job.get(jobId),
    jobsOfSerial: (serial) => sql.serial.all(serial),
    openedJob: (jobId) => sql.openedJob.get(jobId),
    openedOfSerial: (serial) => sql.openedOfSerial.all(serial),
    findSerials: (text, limit) =>
      text === '' ? sql.newestSerials.all(limit) : sql.serials.all(text, after(text), limit),
    openJobs: () => sql.open.all(),
    recordOf: (jobId) => recordsOf(jobId).at(-1),
    recordHashOf(jobId) {
      const hash = sql.recordHash.get(jobId);
      return hash && hexOf(hash);
    },
    recordsOf,
  });
}

function whatIsLeft(
  stream: string,
  rows: readonly SelectedEvent[],
  kinds: ReadonlySet<string> | undefined,
): ReturnType<EvidenceReader['readWhatIsLeft']> {
  const events: StoredEvent[] = [];
  const damage: Finding[] = [];
  let last = 0;
  for (const row of rows) {
    try {
      const isWanted = kinds === undefined || kinds.has(row.kind);
      // Of what is not wanted it still must be known that it says what it said.
      if (isWanted) events.push(eventOfRow(row));
      else checkRow(row);
      last = row.version;
    } catch (error) {
      if (!(error instanceof AlteredRow)) throw error;
      damage.push(error.finding);
    }
  }
  const missing = last - rows.length;
  if (missing > 0) damage.push(finding('streamEventsMissing', { count: missing, stream }));
  return { events, damage };
}

/** The first text that sorts behind everything with this prefix. SQLite compares UTF-8 bytes; U+10FFFF sorts last. */
function after(prefix: string): string {
  return `${prefix}\u{10ffff}`;
}

function documentOfRow(row: { hash: Uint8Array; kind: string; body: string }): StoredDocument {
  return { hash: hexOf(row.hash), kind: row.kind, body: JSON.parse(row.body) };
}

function recordOfRow(row: RecordRow): StoredRecord {
  const proof: RecordProof = {
    hash: hexOf(row.hash),
    keyId: row.key_id,
    signature: toBase64(row.signature),
  };
  return {
    jobId: row.job_id,
    revision: row.revision,
    serial: row.serial,
    sequence: row.sequence,
    record: sealedRecord(JSON.parse(row.body), proof),
  };
}

/** A row that the store cannot have written is damage, and said so; SQLite's own errors become faults. */
function guarded(reader: EvidenceReader): EvidenceReader {
  const entries = Object.entries(reader).map(([name, method]) => [
    name,
    (...parameters: unknown[]) => {
      try {
        return (method as (...parameters: unknown[]) => unknown)(...parameters);
      } catch (error) {
        throw storeFaultOf(error) ?? damageOf(error) ?? error;
      }
    },
  ]);
  return Object.fromEntries(entries);
}

function damageOf(error: unknown): StoreFault | undefined {
  if (error instanceof AlteredRow) {
    return new StoreFault('damaged', `${error.message}; run verify to see all`, { cause: error });
  }
  if (!(error instanceof SyntaxError)) return undefined;
  return new StoreFault('damaged', 'a row of the evidence was altered; run verify to see which', {
    cause: error,
  });
}
