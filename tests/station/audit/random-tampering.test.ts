import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chanceOf } from '../../../electron/station/audit/invented-job.ts';
import type { Problem } from '../../../electron/station/audit/problem.ts';
import { type Database, openSqlite } from '../../../electron/station/store/sqlite.ts';
import { forgeDecision, forgeRecord, rehashFrom } from './forgery.ts';
import { buildEvidence, type Copy, copyOf, tamper, verdictOn } from './tampering.ts';

/** `TAMPERINGS=3000 npx vitest run …` for the long run. */
const rounds = Number(process.env.TAMPERINGS ?? 40);

const base = mkdtempSync(join(tmpdir(), 'bandwright-evidence-'));
let copy: Copy;
let last: number;

beforeAll(() => {
  buildEvidence(base, 4);
  copy = copyOf(base);
  const database = openSqlite(copy.file, { readonly: true });
  last = database.prepare<[], number>('SELECT max(sequence) FROM event').pluck().get()!;
  database.close();
});
afterAll(() => {
  copy.remove();
  rmSync(base, { recursive: true, force: true });
});

/** What was done, and how a finding names it. */
interface Deed {
  readonly what: string;
  names(problem: Problem): boolean;
}

type Chance = <Item>(items: readonly Item[]) => Item;
type Tampering = (database: Database, pick: Chance) => Deed;

const at = (...places: readonly number[]) => {
  return ({ sequence }: Problem) => sequence !== null && places.includes(sequence);
};

function keysOf(database: Database, table: string, key = 'sequence'): number[] {
  return database.prepare<[], number>(`SELECT ${key} FROM ${table}`).pluck().all();
}

const tables = ['event', 'seal', 'record', 'job', 'job_end', 'capture', 'consumption', 'document'] as const;

const tamperings: readonly Tampering[] = [
  function removesRow(database, pick) {
    const table = pick(tables);
    const key = table === 'document' ? 'rowid' : 'sequence';
    const row = pick(keysOf(database, table, key));
    database.prepare(`DELETE FROM ${table} WHERE ${key} = ?`).run(row);
    return {
      what: `removed ${table} ${row}`,
      // A seal is missed at the next one, a document by its hash.
      names: (problem) =>
        table === 'document'
          ? problem.stream?.startsWith('document/') === true
          : table === 'seal'
            ? (problem.sequence ?? 0) >= row
            : problem.sequence === row,
    };
  },
  function removesSeveral(database, pick) {
    const first = pick(keysOf(database, 'event'));
    const count = 1 + pick([1, 2, 5, 9]);
    database.prepare('DELETE FROM event WHERE sequence BETWEEN ? AND ?').run(first, first + count);
    return { what: `removed events ${first} to ${first + count}`, names: at(first) };
  },
  function swapsPlaces(database, pick) {
    const one = 2 + Math.floor(pick([0.1, 0.3, 0.5, 0.7]) * (last - 4));
    const other = pick(
      keysOf(database, 'event').filter((place) => place > 1 && place < last && place !== one),
    );
    const move = database.prepare('UPDATE event SET sequence = ? WHERE sequence = ?');
    for (const [to, from] of [
      [-1, one],
      [one, other],
      [other, -1],
    ])
      move.run(to, from);
    return { what: `swapped ${one} and ${other}`, names: at(one, other) };
  },
  function swapsContents(database, pick) {
    const table = pick(['event', 'record'] as const);
    const column = pick(['body', 'hash']);
    const [one, other] = [pick(keysOf(database, table)), pick(keysOf(database, table))];
    if (one === other) return nothing;
    const value = database
      .prepare<[number], unknown>(`SELECT ${column} FROM ${table} WHERE sequence = ?`)
      .pluck();
    const values = [value.get(one), value.get(other)];
    const write = database.prepare(`UPDATE ${table} SET ${column} = ? WHERE sequence = ?`);
    write.run(values[1], one);
    write.run(values[0], other);
    return { what: `swapped ${column} of ${table} ${one} and ${other}`, names: at(one, other) };
  },
  function forgesDecision(database, pick) {
    const sequence = pick(keysOf(database, 'capture'));
    forgeDecision(database, sequence);
    rehashFrom(database, sequence);
    return { what: `forged the decision of ${sequence} and every hash behind it`, names: at(sequence) };
  },
  function forgesRecord(database, pick) {
    const sequence = pick(keysOf(database, 'record'));
    forgeRecord(database, sequence);
    rehashFrom(database, sequence);
    return { what: `forged the record at ${sequence} and every hash behind it`, names: at(sequence) };
  },
  function removesAndRehashes(database, pick) {
    const sequence = pick(keysOf(database, 'event').filter((place) => place > 1 && place < last));
    for (const table of ['capture', 'consumption', 'job_end', 'record', 'seal', 'event'])
      database.prepare(`DELETE FROM ${table} WHERE sequence = ?`).run(sequence);
    for (const table of ['event', 'seal', 'record', 'job', 'job_end', 'capture', 'consumption']) {
      const rows = keysOf(database, table).filter((place) => place > sequence);
      const close = database.prepare(`UPDATE ${table} SET sequence = ? WHERE sequence = ?`);
      for (const place of rows.sort((a, b) => a - b)) close.run(place - 1, place);
    }
    rehashFrom(database, sequence);
    return {
      what: `took out event ${sequence}, closed the gap and made every hash anew`,
      names: (problem) => (problem.sequence ?? 0) >= sequence - 1,
    };
  },
  function cutsTail(database, pick) {
    const keep = pick([1, 2, 5, 11, last - 9, last - 2, last - 1]);
    for (const table of ['capture', 'consumption', 'job_end', 'record', 'job', 'seal', 'event'])
      database.prepare(`DELETE FROM ${table} WHERE sequence > ?`).run(keep);
    return { what: `cut off everything behind ${keep}`, names: at(keep + 1) };
  },
  function addsEvent(database, pick) {
    const source = pick(keysOf(database, 'event'));
    database
      .prepare(
        `INSERT INTO event SELECT ?, stream, 1 + (SELECT max(version) FROM event e WHERE e.stream = event.stream),
           kind, at, person_id, body, hash, hash FROM event WHERE sequence = ?`,
      )
      .run(last + 1, source);
    rehashFrom(database, last + 1);
    return { what: `added a copy of event ${source} at the end`, names: at(last + 1) };
  },
  function changesIndex(database, pick) {
    const [table, column] = pick([
      ['job', 'serial'],
      ['job', 'head_id'],
      ['capture', 'decision'],
      ['capture', 'instrument_id'],
      ['capture', 'serial'],
      ['consumption', 'lot_id'],
      ['job_end', 'phase'],
    ] as const);
    const row = pick(keysOf(database, table));
    database.prepare(`UPDATE ${table} SET ${column} = 'other' WHERE sequence = ?`).run(row);
    return { what: `changed ${table}.${column} of ${row}`, names: at(row) };
  },
];

const nothing: Deed = { what: '', names: () => true };

describe('verify', () => {
  it(`finds and names each of ${rounds} random deeds of somebody with a database tool but without the key`, {
    timeout: 20_000 + rounds * 500,
  }, () => {
    const missed: unknown[] = [];
    const done = new Map<string, number>();
    for (let round = 0; round < rounds; round++) {
      let salt = 0;
      const pick: Chance = (items) => items[Math.floor(chanceOf(round, ++salt) * items.length)]!;
      const tampering = tamperings[round % tamperings.length]!;
      let deed = nothing;
      copy.restore();
      tamper(copy.file, (database) => {
        deed = tampering(database, pick);
      });
      if (deed.what === '') continue;
      const { intact, problems } = verdictOn(copy.folder);
      done.set(tampering.name, (done.get(tampering.name) ?? 0) + 1);
      if (intact || !problems.some(deed.names)) missed.push({ round, what: deed.what, problems });
    }
    expect(missed).toEqual([]);
    expect([...done.keys()].sort()).toEqual(tamperings.map(({ name }) => name).sort());
    copy.restore();
    expect(verdictOn(copy.folder).problems).toEqual([]);
  });
});
