import { z } from 'zod';
import type { JsonObject } from '../../../shared/evidence/canonical-json.ts';
import { envelopeAround } from '../../../shared/evidence/chain.ts';
import { type StoredEvent, storedEventSchema } from '../../../shared/evidence/stored-event.ts';
import { hexOf } from '../store/event-row.ts';
import { sha256 } from '../store/sha256.ts';

/** Columns of an event as bytes, whatever they have become: no decoding of SQLite's comes between. */
export const rawEventColumns = `sequence, CAST(stream AS BLOB) AS stream, version, CAST(kind AS BLOB) AS kind,
  CAST(at AS BLOB) AS at, CAST(person_id AS BLOB) AS person_id, CAST(body AS BLOB) AS body, previous_hash, hash`;

const bytes = z.instanceof(Uint8Array);
const rawEventSchema = z.object({
  sequence: z.int(),
  stream: bytes,
  version: z.int(),
  kind: bytes,
  at: bytes,
  person_id: bytes.nullable(),
  body: bytes,
  previous_hash: bytes,
  hash: bytes,
});

/** An event whose bytes were looked at but not believed. */
export interface RawEvent {
  readonly sequence: number;
  readonly stream: string;
  readonly version: number;
  readonly kind: string;
  readonly at: string;
  readonly personId: string | null;
  readonly body: Uint8Array;
  readonly previousHash: string;
  readonly hash: string;
}

const utf8 = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

/** Bytes as text; undefined where they are no UTF-8. */
export function textOf(bytes: Uint8Array): string | undefined {
  try {
    return utf8.decode(bytes);
  } catch {
    return undefined;
  }
}

/** The row as a raw event, or undefined when its columns have not even the right types or are no UTF-8. */
export function rawEventOf(row: unknown): RawEvent | undefined {
  const parsed = rawEventSchema.safeParse(row);
  if (!parsed.success) return undefined;
  const { stream, kind, at, person_id, previous_hash, hash, ...rest } = parsed.data;
  try {
    return {
      ...rest,
      stream: utf8.decode(stream),
      kind: utf8.decode(kind),
      at: utf8.decode(at),
      personId: person_id === null ? null : utf8.decode(person_id),
      previousHash: hexOf(previous_hash),
      hash: hexOf(hash),
    };
  } catch {
    return undefined;
  }
}

/** What the hash of these columns is, over the stored bytes of the body, at this or another place in the chain. */
export function hashOfRawEvent(event: RawEvent, sequence = event.sequence): string {
  const { before, after } = envelopeAround({ ...event, sequence });
  return sha256(Buffer.concat([Buffer.from(before), event.body, Buffer.from(after)]));
}

/** An event whose body is not read yet; its text is null where the bytes are none. */
export interface UnreadEvent extends Omit<StoredEvent, 'body'> {
  readonly bodyText: string | null;
}

/** The event, when its body is a JSON object and every column is what the store writes. */
export function storedEventOf({ bodyText, ...rest }: UnreadEvent): StoredEvent | undefined {
  if (bodyText === null) return undefined;
  try {
    const body: JsonObject = JSON.parse(bodyText);
    const parsed = storedEventSchema.safeParse({ ...rest, body });
    return parsed.success ? parsed.data : undefined;
  } catch {
    return undefined;
  }
}

/** The event of a row of `rawEventColumns` whose hash is that of its columns. */
export function intactEventOf(row: unknown): StoredEvent | undefined {
  const raw = row === undefined ? undefined : rawEventOf(row);
  if (raw === undefined || hashOfRawEvent(raw) !== raw.hash) return undefined;
  const { body, ...rest } = raw;
  return storedEventOf({ ...rest, bodyText: textOf(body) ?? null });
}
