import { eventHash } from '../../../shared/evidence/chain.ts';
import { sha256 } from '../store/sha256.ts';
import type { Database } from '../store/sqlite.ts';
import { attempt } from './naming.ts';
import {
  hashOfRawEvent,
  type RawEvent,
  rawEventColumns,
  rawEventOf,
  textOf,
  type UnreadEvent,
} from './raw-event.ts';
import { keyOf, walkRows } from './row-walk.ts';

/** What stands at a place in the chain. */
export type Place =
  /** An event whose hash is that of its columns, whatever they say. */
  | { readonly found: 'intact'; readonly event: UnreadEvent }
  /** An event whose hash is not that of its columns. */
  | { readonly found: 'altered'; readonly event: RawEvent }
  /** A row whose columns are not what the store writes. */
  | { readonly found: 'nonsense'; readonly sequence: number }
  /** SQLite cannot give the row. */
  | { readonly found: 'unreadable'; readonly sequence: number }
  | { readonly found: 'nothing'; readonly sequence: number };

/** Bytes as hexadecimal, and nothing where the column has become something else. */
export function hexColumn(name: string): string {
  return `iif(typeof(${name}) = 'blob', lower(hex(${name})), NULL)`;
}

/** Of the table `event`, behind the key of a walk: what `unreadEventOf` takes. */
export const listedEvent = `stream, version, kind, at, person_id, body, ${hexColumn('previous_hash')}, ${hexColumn('hash')}`;

/** Stands for bytes that are no UTF-8 in a text that SQLite gave: such a text does not show what is stored. */
export const replacement = '\uFFFD';

/**
 * Every place of the chain from `after` to `upper`, in order, whatever stands there. The stored text of an event is
 * hashed as it is, without reading its JSON. What does not fit then is looked at again byte by byte.
 */
export function* walkEvents(database: Database, upper: number, after = 0): Generator<Place> {
  const walk = {
    table: 'event',
    key: 'sequence',
    columns: listedEvent,
    after,
    upper,
    chunk: 200,
    asLists: true,
  };
  const bytesAt = database.prepare<[number]>(`SELECT ${rawEventColumns} FROM event WHERE sequence = ?`);
  let expected = after + 1;
  for (const walked of walkRows(database, walk)) {
    const sequence = 'row' in walked ? keyOf(walked.row) : walked.unreadable;
    while (expected < sequence) yield { found: 'nothing', sequence: expected++ };
    expected = sequence + 1;
    const event = 'row' in walked ? intactEventOf(walked.row as readonly unknown[]) : undefined;
    yield event === undefined ? placeOf(sequence, () => bytesAt.get(sequence)) : { found: 'intact', event };
  }
  while (expected <= upper) yield { found: 'nothing', sequence: expected++ };
}

/** The event of a row of `listedEvent`, where its columns have the types that the store writes. */
export function unreadEventOf(row: readonly unknown[]): (UnreadEvent & { bodyText: string }) | undefined {
  const [sequence, stream, version, kind, at, personId, bodyText, previousHash, hash] = row;
  if (
    typeof sequence !== 'number' ||
    typeof stream !== 'string' ||
    typeof version !== 'number' ||
    typeof kind !== 'string' ||
    typeof at !== 'string' ||
    (typeof personId !== 'string' && personId !== null) ||
    typeof bodyText !== 'string' ||
    typeof previousHash !== 'string' ||
    typeof hash !== 'string'
  )
    return undefined;
  return { sequence, stream, version, kind, at, personId, bodyText, previousHash, hash };
}

/** The same, where its hash is that of its columns taken as texts. */
function intactEventOf(row: readonly unknown[]): UnreadEvent | undefined {
  const event = unreadEventOf(row);
  if (event === undefined) return undefined;
  return attempt(() => eventHash(event, hashOfText)) === event.hash ? event : undefined;
}

function hashOfText(text: string): string | undefined {
  return text.includes(replacement) ? undefined : sha256(text);
}

/** The same by the bytes of every column. */
function placeOf(sequence: number, read: () => unknown): Place {
  const row = attempt(read);
  if (row === undefined) return { found: 'unreadable', sequence };
  const event = rawEventOf(row);
  if (event === undefined) return { found: 'nonsense', sequence };
  if (hashOfRawEvent(event) !== event.hash) return { found: 'altered', event };
  const { body, ...rest } = event;
  return { found: 'intact', event: { ...rest, bodyText: textOf(body) ?? null } };
}
