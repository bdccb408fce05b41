import { z } from 'zod';
import type { JsonObject } from '../../../shared/evidence/canonical-json.ts';
import { eventHash } from '../../../shared/evidence/chain.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { sha256 } from './sha256.ts';

export const eventColumns = 'sequence, stream, version, kind, at, person_id, body, previous_hash, hash';

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

/** Bytes of a hash column as hexadecimal. */
export function hexOf(hash: Uint8Array): string {
  return Buffer.from(hash.buffer, hash.byteOffset, hash.byteLength).toString('hex');
}

/** Hexadecimal as the bytes of a hash column. */
export function bytesOf(hex: string): Buffer {
  return Buffer.from(hex, 'hex');
}

/** A row that is not what was written. */
export class AlteredRow extends Error {
  override readonly name = 'AlteredRow';
}

/**
 * The event of a row. Nothing is read that was altered: the hash must be that of the columns. So a body needs no
 * second validation: it is the one that was valid when it was written.
 *
 * @throws AlteredRow
 */
export function eventOfRow(row: unknown): StoredEvent {
  const parsed = eventRowSchema.safeParse(row);
  if (!parsed.success) throw new AlteredRow('an event has columns that no station writes');
  const { person_id: personId, previous_hash, hash: hashBytes, body: bodyText, ...rest } = parsed.data;
  const previousHash = hexOf(previous_hash);
  const hash = hexOf(hashBytes);
  if (eventHash({ ...rest, personId, bodyText, previousHash }, sha256) !== hash) {
    throw new AlteredRow(`event ${rest.sequence} of ${rest.stream} was altered: its hash does not fit`);
  }
  const body: JsonObject = JSON.parse(bodyText);
  return { ...rest, personId, body, previousHash, hash };
}
