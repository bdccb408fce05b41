import type { Database } from '../store/sqlite.ts';

/** A row, or the place of one that the database cannot give. */
export type Walked = { readonly row: unknown } | { readonly unreadable: number };

export interface RowWalk {
  readonly table: string;
  /** The integer key in whose order the rows come. */
  readonly key: string;
  readonly columns: string;
  readonly upper: number;
  readonly chunk: number;
}

/**
 * Every row of a table up to a key, in order, in short reads and bounded memory. Behind a place that the database
 * cannot give it goes on one by one.
 */
export function* walkRows(database: Database, walk: RowWalk): Generator<Walked> {
  const { table, key, columns, upper, chunk } = walk;
  const source = `SELECT ${key} AS "key", ${columns} FROM ${table}`;
  const many = database.prepare<[number, number, number]>(
    `${source} WHERE ${key} > ? AND ${key} <= ? ORDER BY ${key} LIMIT ?`,
  );
  const one = database.prepare<[number]>(`${source} WHERE ${key} = ?`);
  let after = 0;
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
    after = Number((rows.at(-1) as { key: unknown }).key);
  }
}

function* readOne(one: { get(place: number): unknown }, place: number): Generator<Walked> {
  try {
    const row = one.get(place);
    if (row !== undefined) yield { row };
  } catch {
    yield { unreadable: place };
  }
}
