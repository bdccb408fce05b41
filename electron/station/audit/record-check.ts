import { type Finding, finding } from '../../../shared/audit/finding.ts';
import { canonicalJson, type JsonObject } from '../../../shared/evidence/canonical-json.ts';
import type { FindDocument } from '../../../shared/evidence/evidence-rules.ts';
import { recordSignatureText } from '../../../shared/evidence/signed-record.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { isSignedBy } from '../signing-key.ts';
import { eventSelection, type SelectedEvent } from '../store/event-row.ts';
import { keyInForce } from '../store/known-keys.ts';
import { sha256 } from '../store/sha256.ts';
import { hexColumn } from './event-walk.ts';
import { attempt } from './naming.ts';
import type { OpenedJobs } from './opened-jobs.ts';
import { storedEventOf } from './raw-event.ts';
import type { RecentEvents } from './recent-events.ts';
import { ownerOfRecord } from './record-row.ts';
import { rowsBetween } from './row-walk.ts';
import type { Verification } from './verification.ts';

/** A record without its content: that is looked at only where it differs. */
interface RecordHead {
  readonly sequence: number;
  readonly job_id: string;
  readonly hash: string;
  readonly key_id: string;
  readonly signature: Uint8Array;
}

/** Checks of each record its signature, and that the events of its job still give it. */
export interface RecordCheck {
  /** Reads the records at these places, both included. */
  read(first: number, last: number): void;
  /** Checks the record at one of the places that were read last, if there is one. */
  check(sequence: number): void;
}

export interface RecordCheckParts {
  readonly openedJobs: OpenedJobs;
  readonly recentEvents: RecentEvents;
  readonly findDocument: FindDocument;
}

const headColumns = `sequence, job_id, ${hexColumn('hash')} AS hash, key_id, signature`;

export function createRecordCheck(verification: Verification, parts: RecordCheckParts): RecordCheck {
  const { database, report, alteredRecords } = verification;
  const headsBetween = database.prepare<[number, number], RecordHead>(
    `SELECT ${headColumns} FROM record WHERE sequence BETWEEN ? AND ? ORDER BY sequence`,
  );
  const headAt = database.prepare<[number], RecordHead>(
    `SELECT ${headColumns} FROM record WHERE sequence = ?`,
  );
  const rebuild = createRebuild(verification, parts);
  let heads = new Map<number, RecordHead>();

  return {
    read(first, last) {
      heads = new Map(rowsBetween(headsBetween, headAt, first, last).map((head) => [head.sequence, head]));
    },
    check(sequence) {
      const head = heads.get(sequence);
      // Columns that are not what a station writes were reported with the bytes.
      if (typeof head?.hash !== 'string' || !(head.signature instanceof Uint8Array)) return;
      let fault = signatureFault(verification, head);
      if (fault === undefined && !alteredRecords.has(sequence)) fault = rebuild(head);
      if (fault === undefined) return;
      const signed = parts.openedJobs.eventAt(sequence);
      report('record', ownerOfRecord(verification, head, signed), sequence, fault);
    },
  };
}

function signatureFault({ keys }: Verification, head: RecordHead): Finding | undefined {
  const { sequence, hash, key_id: keyId, signature } = head;
  const at = { event: sequence };
  const key = keys.find((one) => one.keyId === keyId);
  if (key === undefined) return finding('recordOfUnknownKey', at);
  if (!isSignedBy(key.publicKey, recordSignatureText(hash), signature)) return finding('recordUnsigned', at);
  if (keyInForce(keys, sequence)?.keyId !== key.keyId) return finding('recordOfOtherKey', at);
  return undefined;
}

/** Builds the record anew from the events of its job. */
function createRebuild(
  { database, rules, suspect, rewrittenFrom }: Verification,
  { recentEvents, findDocument }: RecordCheckParts,
): (head: RecordHead) => Finding | undefined {
  const selected = database.prepare<[string, number], SelectedEvent>(
    `SELECT ${eventSelection} FROM event WHERE stream = ? AND sequence < ? ORDER BY version`,
  );
  const bodyOf = database
    .prepare<[number], Uint8Array>('SELECT CAST(body AS BLOB) FROM record WHERE sequence = ?')
    .pluck();

  const build = (events: readonly StoredEvent[]) =>
    attempt(() => canonicalJson(rules.buildRecord(events, findDocument)));

  /** Undefined where one of them was altered, cannot be read or is missing: it is reported where it stands. */
  function eventsBefore(stream: string, sequence: number): readonly StoredEvent[] | undefined {
    const rows = attempt(() => selected.all(stream, sequence)) ?? [];
    if (rows.some((row, index) => suspect.has(row.sequence) || row.version !== index + 1)) return undefined;
    // The walk of the chain has hashed them all.
    const events = rows.map((row) => storedEventOf(row)).filter((event) => event !== undefined);
    return events.length === rows.length ? events : undefined;
  }

  return ({ sequence, job_id: jobId, hash }) => {
    const isGivenBy = (text: string | undefined) => text !== undefined && sha256(text) === hash;
    const recent = recentEvents.take(`job/${jobId}`);
    if (recent !== undefined && isGivenBy(build(recent))) return undefined;
    const events = eventsBefore(`job/${jobId}`, sequence);
    if (events === undefined) return undefined;
    const rebuilt = build(events);
    if (isGivenBy(rebuilt)) return undefined;
    const signed = attempt((): JsonObject => JSON.parse(Buffer.from(bodyOf.get(sequence) ?? []).toString()));
    if (suspect.has(lastSequenceOf(signed))) return undefined;
    if (rebuilt === undefined || signed === undefined) return finding('recordNotRebuilt', {});
    const before = attempt(() => canonicalJson(signed));
    if (before === undefined) return finding('recordNotOfStation', {});
    if (before === rebuilt) return undefined;
    // Behind a place where the chain was written anew every hash differs; that is reported once, there.
    const isRewritten = (rewrittenFrom ?? Number.POSITIVE_INFINITY) <= sequence;
    if (isRewritten && withoutChainHashes(before) === withoutChainHashes(rebuilt)) return undefined;
    const field = firstDifference(signed, JSON.parse(rebuilt), '');
    return finding('recordDiffers', { field });
  };
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
