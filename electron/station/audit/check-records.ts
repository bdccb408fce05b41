import { z } from 'zod';
import { canonicalJson, type JsonObject } from '../../../shared/evidence/canonical-json.ts';
import { recordSignatureText } from '../../../shared/evidence/signed-record.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { isSignedBy } from '../signing-key.ts';
import { eventSelection, hexOf, type SelectedEvent } from '../store/event-row.ts';
import { keyInForce } from '../store/known-keys.ts';
import { sha256 } from '../store/sha256.ts';
import { attempt, type Owner } from './naming.ts';
import { createOpenedJobs } from './opened-jobs.ts';
import { createRecentDocuments } from './recent-documents.ts';
import { walkRows } from './row-walk.ts';
import type { Verification } from './verification.ts';

const bytes = z.instanceof(Uint8Array);
const recordRowSchema = z.object({
  sequence: z.int(),
  job_id: z.string(),
  revision: z.int(),
  serial: z.string(),
  body: bytes,
  hash: bytes,
  key_id: z.string(),
  signature: bytes,
});
type RecordRow = z.infer<typeof recordRowSchema>;

const columns = 'sequence, job_id, revision, serial, CAST(body AS BLOB) AS body, hash, key_id, signature';

/** Every signed record: hash, signature, what the chain says of it, and that its job's events still give it. */
export function* checkRecords(verification: Verification): Generator<number, void> {
  const { database, naming, report, upper } = verification;
  const openedJobs = createOpenedJobs(verification);
  const rebuild = createRebuild(verification);
  for (const walked of walkRows(database, { table: 'record', key: 'sequence', columns, upper, chunk: 50 })) {
    const parsed = 'row' in walked ? recordRowSchema.safeParse(walked.row) : undefined;
    if (parsed?.success !== true) {
      const sequence = 'row' in walked ? Number((walked.row as { key: unknown }).key) : walked.unreadable;
      report(
        'record',
        naming.ofSequence(sequence),
        sequence,
        `record ${sequence} was altered or cannot be read`,
      );
      continue;
    }
    const row = parsed.data;
    const signed = openedJobs.eventAt(row.sequence);
    const owner = ownerOf(verification, row, signed);
    const faults = [...faultsOf(verification, row, signed)];
    if (faults.length === 0) faults.push(...rebuild(row));
    for (const what of faults) report('record', owner, row.sequence, what);
    yield row.sequence;
  }
}

/** Named by what the chain says first: the row itself may be what was altered. */
function ownerOf({ naming }: Verification, row: RecordRow, signed: StoredEvent | undefined): Owner {
  const jobId = signed?.body.jobId;
  return naming.ofStream(`job/${typeof jobId === 'string' ? jobId : row.job_id}`);
}

function* faultsOf(
  { keys, suspect }: Verification,
  row: RecordRow,
  signed: StoredEvent | undefined,
): Generator<string> {
  const { sequence } = row;
  const hash = hexOf(row.hash);
  if (sha256(row.body) !== hash)
    yield `its signed record (event ${sequence}) was altered: its hash does not fit`;
  if (signed?.kind !== 'recordSigned') {
    // An altered event is reported as such.
    if (!suspect.has(sequence))
      yield `its record (event ${sequence}) was added: no event of the chain says that it was signed`;
  } else {
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
    const signature = Buffer.from(row.signature).toString('base64');
    if (canonicalJson(written) !== canonicalJson(said) || signature !== body.signature) {
      yield `its signed record (event ${sequence}) was altered: it is not the one that the chain names`;
    }
  }
  const key = keys.find(({ keyId }) => keyId === row.key_id);
  if (key === undefined) yield `its record (event ${sequence}) names a key that this station never had`;
  else if (!isSignedBy(key.publicKey, recordSignatureText(hash), row.signature)) {
    yield `its record (event ${sequence}) does not bear the station's signature`;
  } else if (keyInForce(keys, sequence)?.keyId !== key.keyId) {
    yield `its record (event ${sequence}) is signed with a key that does not sign at that place`;
  }
}

/** Builds the record anew from the events of its job. */
function createRebuild(verification: Verification): (row: RecordRow) => readonly string[] {
  const { database, rules, suspect } = verification;
  const documents = createRecentDocuments(database);
  const events = database.prepare<[string, number], SelectedEvent>(
    `SELECT ${eventSelection} FROM event WHERE stream = ? AND sequence < ? ORDER BY version`,
  );
  return (row) => {
    const signed: JsonObject | undefined = attempt(() => JSON.parse(Buffer.from(row.body).toString()));
    const rows = attempt(() => events.all(`job/${row.job_id}`, row.sequence)) ?? [];
    // Altered, unreadable and missing events are reported where they stand in the chain, whose walk hashed them all.
    if (rows.some(({ sequence, version }, index) => suspect.has(sequence) || version !== index + 1))
      return [];
    if (suspect.has(lastSequenceOf(signed))) return [];
    const rebuilt = attempt(() => rules.buildRecord(rows.map(unhashedEventOf), documents.find));
    if (rebuilt === undefined || signed === undefined) return ['its record cannot be built from its events'];
    const [before, after] = [canonicalJson(signed), canonicalJson(rebuilt)];
    if (before === after) return [];
    // Behind a place where the chain was written anew every hash differs; that is reported once, there.
    const rewritten = (verification.rewrittenFrom ?? Number.POSITIVE_INFINITY) <= row.sequence;
    if (rewritten && withoutChainHashes(before) === withoutChainHashes(after)) return [];
    const field = firstDifference(signed, rebuilt, '');
    return [`its events were altered: the signed record has another ${field}`];
  };
}

function unhashedEventOf({ bodyText, ...rest }: SelectedEvent): StoredEvent {
  const body: JsonObject = JSON.parse(bodyText);
  return { ...rest, body };
}

/** Place of the last event that went into a record. */
function lastSequenceOf(record: JsonObject | undefined): number {
  const last = record?.lastEvent;
  return isObject(last) && typeof last.sequence === 'number' ? last.sequence : 0;
}

function withoutChainHashes(record: string): string {
  return record
    .replaceAll(/"eventHash":"[0-9a-f]{64}"/g, '"eventHash":""')
    .replaceAll(/"(first|last)Event":\{"hash":"[0-9a-f]{64}"/g, '"$1Event":{"hash":""');
}

/** Path of the first field in which two plain values differ. */
export function firstDifference(one: unknown, other: unknown, path: string): string {
  if (isObject(one) && isObject(other)) {
    for (const name of [...new Set([...Object.keys(one), ...Object.keys(other)])].sort()) {
      if (text(one[name]) === text(other[name])) continue;
      return firstDifference(one[name], other[name], path === '' ? name : `${path}.${name}`);
    }
  }
  return path;
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null;
}

function text(value: unknown): string {
  return value === undefined ? '' : canonicalJson(value);
}
