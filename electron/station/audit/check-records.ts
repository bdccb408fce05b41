import { type Finding, finding } from '../../../shared/audit/finding.ts';
import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { base64Of, hexOf } from '../store/event-row.ts';
import { sha256 } from '../store/sha256.ts';
import { hexColumn, replacement } from './event-walk.ts';
import { attempt } from './naming.ts';
import { createOpenedJobs } from './opened-jobs.ts';
import { ownerOfRecord, type RecordRow, recordColumns, recordRowSchema } from './record-row.ts';
import { keyOf, walkRows } from './row-walk.ts';
import type { Verification } from './verification.ts';

const walk = {
  table: 'record LEFT JOIN event ON event.sequence = record.sequence',
  key: 'record.sequence',
  columns: `record.job_id, record.revision, record.serial, record.body, ${hexColumn('record.hash')}, record.key_id,
    record.signature, event.kind, event.body`,
  chunk: 50,
  asLists: true,
};

/**
 * Every signed record, byte for byte: its hash, and that it is the one that the chain names; none is missing. Yields
 * the place it is at; gives the number of records that can be read. What the record says, and its own signature, are looked at with the events of its job.
 *
 * @param signed how many records the chain says were signed
 */
export function* checkRecords(verification: Verification, signed: number): Generator<number, number> {
  const { database, naming, report, suspect, alteredRecords, upper } = verification;
  const openedJobs = createOpenedJobs(verification);
  const rowAt = database.prepare<[number]>(`SELECT ${recordColumns} FROM record WHERE sequence = ?`);
  let readable = 0;
  let named = 0;
  for (const walked of walkRows(database, { ...walk, upper })) {
    const sequence = 'row' in walked ? keyOf(walked.row) : walked.unreadable;
    if ('row' in walked && !suspect.has(sequence) && isAsNamed(walked.row as readonly unknown[])) {
      readable++;
      named++;
      yield sequence;
      continue;
    }
    alteredRecords.add(sequence);
    const parsed = recordRowSchema.safeParse(attempt(() => rowAt.get(sequence)));
    if (!parsed.success) {
      const what = finding('recordUnreadable', { event: sequence });
      report('record', naming.ofSequence(sequence), sequence, what);
      continue;
    }
    const event = openedJobs.eventAt(sequence);
    if (event?.kind === 'recordSigned') named++;
    const faults = [...faultsOf(verification, parsed.data, event)];
    if (faults.length === 0) alteredRecords.delete(sequence);
    const owner = ownerOfRecord(verification, parsed.data, event);
    for (const what of faults) report('record', owner, sequence, what);
    readable++;
    yield sequence;
  }
  if (named < signed) yield* findMissing(verification);
  return readable;
}

/** Records that events name and that are not there. */
function* findMissing({ database, naming, report, suspect, upper }: Verification): Generator<number, void> {
  const recordAt = database.prepare<[number], 1>('SELECT 1 FROM record WHERE sequence = ?').pluck();
  const columns = 'stream, kind';
  const events = { table: 'event', key: 'sequence', columns, upper, chunk: 1000, asLists: true };
  for (const walked of walkRows(database, events)) {
    if ('unreadable' in walked) continue;
    const [sequence, stream, kind] = walked.row as [number, unknown, unknown];
    yield sequence;
    if (kind !== 'recordSigned' || typeof stream !== 'string' || suspect.has(sequence)) continue;
    if (!stream.startsWith('record/') || attempt(() => recordAt.get(sequence)) !== undefined) continue;
    const what = finding('recordMissing', { event: sequence });
    report('record', naming.ofStream(stream), sequence, what);
  }
}

/** True where the record and the event that names it, taken as texts, fit. */
function isAsNamed(row: readonly unknown[]): boolean {
  const [, jobId, revision, serial, body, hash, keyId, signature, kind, eventBody] = row;
  if (kind !== 'recordSigned' || typeof body !== 'string' || !(signature instanceof Uint8Array)) return false;
  if (body.includes(replacement) || sha256(body) !== hash) return false;
  const said = { hash, jobId, keyId, revision, serial, signature: base64Of(signature) };
  return attempt(() => canonicalJson(said)) === eventBody;
}

function* faultsOf(
  { suspect }: Verification,
  row: RecordRow,
  signed: StoredEvent | undefined,
): Generator<Finding> {
  const { sequence } = row;
  const at = { event: sequence };
  const hash = hexOf(row.hash);
  if (sha256(row.body) !== hash) yield finding('recordAltered', at);
  if (signed?.kind !== 'recordSigned') {
    // An altered event is reported as such.
    if (!suspect.has(sequence)) yield finding('recordAdded', at);
    return;
  }
  const { body } = signed;
  const written = {
    hash,
    jobId: row.job_id,
    keyId: row.key_id,
    revision: row.revision,
    serial: row.serial,
  };
  const said = {
    hash: body.hash,
    jobId: body.jobId,
    keyId: body.keyId,
    revision: body.revision,
    serial: body.serial,
  };
  const signature = base64Of(row.signature);
  if (canonicalJson(written) !== canonicalJson(said) || signature !== body.signature) {
    yield finding('recordNotNamed', at);
  }
}
