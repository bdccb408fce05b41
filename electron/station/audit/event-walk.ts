import type { Database } from '../store/sqlite.ts';
import { type RawEvent, rawEventColumns, rawEventOf } from './raw-event.ts';
import { walkRows } from './row-walk.ts';

/** What stands at a place in the chain. */
export type Place =
  | { readonly found: 'event'; readonly event: RawEvent }
  /** A row whose columns are not what the store writes. */
  | { readonly found: 'nonsense'; readonly sequence: number }
  /** SQLite cannot give the row. */
  | { readonly found: 'unreadable'; readonly sequence: number }
  | { readonly found: 'nothing'; readonly sequence: number };

/** Every place of the chain from 1 to `upper`, in order, whatever stands there. */
export function* walkEvents(database: Database, upper: number): Generator<Place> {
  const walk = { table: 'event', key: 'sequence', columns: rawEventColumns, upper, chunk: 200 };
  let expected = 1;
  for (const walked of walkRows(database, walk)) {
    const sequence = 'row' in walked ? keyOf(walked.row) : walked.unreadable;
    while (expected < sequence) yield { found: 'nothing', sequence: expected++ };
    expected = sequence + 1;
    if ('unreadable' in walked) {
      yield { found: 'unreadable', sequence };
      continue;
    }
    const event = rawEventOf(walked.row);
    yield event === undefined ? { found: 'nonsense', sequence } : { found: 'event', event };
  }
  while (expected <= upper) yield { found: 'nothing', sequence: expected++ };
}

function keyOf(row: unknown): number {
  return Number((row as { key: unknown }).key);
}
