import { z } from 'zod';
import { type StoredEvent, storedEventSchema } from '../../../shared/evidence/stored-event.ts';

export const eventColumns = 'sequence, stream, version, kind, at, person_id, body, previous_hash, hash';

const bytes = z.instanceof(Uint8Array);

/** A row of the table `event` as SQLite gives it. */
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

/**
 * The event of a row.
 *
 * @throws ZodError or SyntaxError when the row is not one that the store wrote; `withFaults` names that damage
 */
export function eventOfRow(row: unknown): StoredEvent {
  const { person_id, previous_hash, hash, body, ...rest } = eventRowSchema.parse(row);
  return storedEventSchema.parse({
    ...rest,
    personId: person_id,
    body: JSON.parse(body),
    previousHash: hexOf(previous_hash),
    hash: hexOf(hash),
  });
}
