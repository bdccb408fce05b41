import { z } from 'zod';
import { type Finding, finding, findingText } from '../../../shared/audit/finding.ts';
import type { JsonObject } from '../../../shared/evidence/canonical-json.ts';
import { type Envelope, eventHash } from '../../../shared/evidence/chain.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { sha256 } from './sha256.ts';

export const eventColumns = 'sequence, stream, version, kind, at, person_id, body, previous_hash, hash';

/** The same for `eventOfRow`: the hashes as text made by SQLite, which is quicker than bytes turned into text here. */
export const eventSelection = `sequence, stream, version, kind, at, person_id AS "personId", body AS "bodyText",
  lower(hex(previous_hash)) AS "previousHash", lower(hex(hash)) AS "hash"`;

const bytes = z.instanceof(Uint8Array);

/** The types of a row of the table `event`; that its values are those that were written, the hash shows. */
export const eventRowSchema = z.object({
  sequence: z.int(),
  stream: z.string(),
  version: z.int(),
  kind: z.string(),
  at: z.string(),
  person_id: z.string().nullable(),
  body: z.string(),
  previous_hash: bytes,
  hash: bytes,
});

/** A row of `eventSelection`: an event without its body read. */
export type SelectedEvent = Envelope & Pick<StoredEvent, 'hash'>;

/** Bytes of a hash column as hexadecimal. */
export function hexOf(hash: Uint8Array): string {
  return Buffer.from(hash.buffer, hash.byteOffset, hash.byteLength).toString('hex');
}

/** Bytes of a signature column as base64. */
export function base64Of(bytes: Uint8Array): string {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('base64');
}

/** Hexadecimal as the bytes of a hash column. */
export function bytesOf(hex: string): Buffer {
  return Buffer.from(hex, 'hex');
}

/** A row that is not what was written. */
export class AlteredRow extends Error {
  override readonly name = 'AlteredRow';
  readonly finding: Finding;

  constructor(found: Finding) {
    super(findingText(found));
    this.finding = found;
  }
}

/**
 * The event of a row of `eventSelection`. Nothing is read that was altered: the hash must be that of the columns, as
 * canonical JSON, in which a text and a number differ. So neither row nor body needs another validation: they are
 * those that were valid when they were written.
 *
 * @throws AlteredRow
 */
export function eventOfRow(row: SelectedEvent): StoredEvent {
  checkRow(row);
  const { sequence, stream, version, kind, at, personId, bodyText, previousHash, hash } = row;
  const body: JsonObject = JSON.parse(bodyText);
  return { sequence, stream, version, kind, at, personId, body, previousHash, hash };
}

/** The same of an event whose body nobody wants to read. @throws AlteredRow */
export function checkRow(row: SelectedEvent): void {
  if (typeof row.bodyText === 'string' && hashOfColumns(row) === row.hash) return;
  throw new AlteredRow(finding('streamEventAltered', { event: row.sequence, stream: row.stream }));
}

/** Undefined for columns that are nothing that JSON knows. */
function hashOfColumns(envelope: Envelope): string | undefined {
  try {
    return eventHash(envelope, sha256);
  } catch {
    return undefined;
  }
}

/** The same of a row with the columns as they are. */
export function eventOfColumns(row: unknown): StoredEvent {
  const parsed = eventRowSchema.safeParse(row);
  if (!parsed.success) throw new AlteredRow(finding('rowOfNoStation', {}));
  const { person_id: personId, body: bodyText, previous_hash, hash, ...rest } = parsed.data;
  return eventOfRow({ ...rest, personId, bodyText, previousHash: hexOf(previous_hash), hash: hexOf(hash) });
}
