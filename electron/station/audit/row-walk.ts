import type { Database, Statement } from '../store/sqlite.ts';
import { attempt } from './naming.ts';

/** A row, or the place of one that the database cannot give. */
export type Walked = { readonly row: unknown } | { readonly unreadable: number };

export interface RowWalk {
  readonly table: string;
  /** The integer key in whose order the rows come. */
  readonly key: string;
  readonly columns: string;
  /** The first key is behind this one; left out: 0. */
  readonly after?: number;
  readonly upper: number;
  readonly chunk: number;
  /** Rows as lists, the key first: quicker than objects. */
  readonly asLists?: boolean;
}

/**
 * Every row of a table up to a key, in order, in short reads and bounded memory. Behind a place that the database
 * cannot give it goes on one by one.
 */
export function* walkRows(database: Database, walk: RowWalk): Generator<Walked> {
  const { table, key, columns, upper, chunk, asLists = false } = walk;
  const source = `SELECT ${key} AS "key", ${columns} FROM ${table}`;
  const many = database.prepare<[number, number, number]>(
    `${source} WHERE ${key} > ? AND ${key} <= ? ORDER BY ${key} LIMIT ?`,
  );
  const one = database.prepare<[number]>(`${source} WHERE ${key} = ?`);
  if (asLists) {
    many.raw();
    one.raw();
  }
  let after = walk.after ?? 0;
  while (after < upper) {
    let rows: readonly unknown[] | undefined;
    try {
      rows = many.all(after, upper, chunk);
    } catch {
      rows = undefined;
    }
    if (rows === undefined) {
      const last = Math.min(upper, after + chunk);
      for (let place = after + 1; place <= last; place++) yield* readOne(one, place);
      after = last;
      continue;
    }
    if (rows.length === 0) return;
    for (const row of rows) yield { row };
    after = keyOf(rows.at(-1));
  }
}

/**
 * The rows at these places, both included: with one question, or place by place where the database cannot give them
 * all; what it cannot give then is left out.
 */
export function rowsBetween<Row>(
  between: Statement<[number, number], Row>,
  at: Statement<[number], Row>,
  first: number,
  last: number,
): readonly Row[] {
  const places = () => Array.from({ length: last - first + 1 }, (_, index) => first + index);
  return (
    attempt(() => between.all(first, last)) ?? places().flatMap((place) => attempt(() => at.all(place)) ?? [])
  );
}

/** The key of a row of the walk. */
export function keyOf(row: unknown): number {
  return Number(Array.isArray(row) ? row[0] : (row as { key: unknown }).key);
}

function* readOne(one: { get(place: number): unknown }, place: number): Generator<Walked> {
  try {
    const row = one.get(place);
    if (row !== undefined) yield { row };
  } catch {
    yield { unreadable: place };
  }
}
