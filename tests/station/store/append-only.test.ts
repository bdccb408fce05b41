import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { databaseName } from '../../../electron/station/store/database.ts';
import { type Database, openSqlite } from '../../../electron/station/store/sqlite.ts';
import { evidenceIn } from '../audit/tampering.ts';
import { openTestStore, temporaryFolder, writeInventedJobs } from './bench.ts';

function withDatabase(
  recursiveTriggers: 'ON' | 'OFF',
  work: (database: Database, file: string) => void,
): void {
  const folder = temporaryFolder();
  const store = openTestStore(folder);
  writeInventedJobs(store, 2);
  store.close();
  const file = join(folder, databaseName);
  const database = openSqlite(file, {});
  database.pragma(`recursive_triggers = ${recursiveTriggers}`);
  database.pragma('foreign_keys = OFF');
  const before = evidenceIn(file);
  try {
    work(database, file);
  } finally {
    database.close();
  }
  expect(evidenceIn(file)).toBe(before);
}

const tables = ['event', 'seal', 'document', 'job', 'job_end', 'capture', 'consumption', 'record'];

describe.each(['ON', 'OFF'] as const)(
  'evidence, opened by another program with recursive_triggers %s,',
  (setting) => {
    it('is not updated', () => {
      withDatabase(setting, (database) => {
        for (const table of tables) {
          const columns = database
            .prepare<[string], string>('SELECT name FROM pragma_table_info(?)')
            .pluck()
            .all(table);
          for (const column of columns) {
            expect(() => database.exec(`UPDATE ${table} SET ${column} = ${column}`)).toThrow(
              'evidence is not changed',
            );
            expect(() => database.exec(`UPDATE OR REPLACE ${table} SET ${column} = ${column}`)).toThrow(
              'not changed',
            );
            expect(() => database.exec(`UPDATE OR IGNORE ${table} SET ${column} = ${column}`)).toThrow(
              'not changed',
            );
          }
        }
      });
    });

    it('is not deleted', () => {
      withDatabase(setting, (database) => {
        for (const table of tables) {
          expect(() => database.exec(`DELETE FROM ${table}`)).toThrow('evidence is not deleted');
        }
      });
    });

    it('is not replaced or upserted', () => {
      withDatabase(setting, (database) => {
        for (const table of tables) {
          const insert = (verb: string, end = '') =>
            `${verb} INTO ${table} SELECT * FROM ${table} LIMIT 1 ${end}`;
          for (const statement of [
            insert('INSERT OR REPLACE'),
            insert('REPLACE'),
            insert('INSERT OR IGNORE'),
            insert('INSERT OR ROLLBACK'),
            insert('INSERT'),
          ]) {
            expect(() => database.exec(statement), statement).toThrow(`${table}: `);
          }
          const first = database
            .prepare<[string], string>('SELECT name FROM pragma_table_info(?)')
            .pluck()
            .get(table);
          const upsert = `INSERT INTO ${table} SELECT * FROM ${table} WHERE true LIMIT 1 ON CONFLICT DO UPDATE SET ${first} = ${first}`;
          expect(() => database.exec(upsert), upsert).toThrow(`${table}: `);
        }
      });
    });

    it('is not replaced by a row that meets another one in a second unique column', () => {
      withDatabase(setting, (database) => {
        expect(() =>
          database.exec(
            `INSERT OR REPLACE INTO event SELECT (SELECT max(sequence) + 1 FROM event), stream, version, kind, at,
             person_id, body, (SELECT hash FROM event ORDER BY sequence DESC LIMIT 1), hash FROM event LIMIT 1`,
          ),
        ).toThrow('event: ');
        expect(() =>
          database.exec(
            `INSERT OR REPLACE INTO capture SELECT (SELECT max(sequence) FROM event), capture_id, job_id, serial, head_id,
             step_id, quantity, instrument_id, certificate_hash, 'pass', person_id, at FROM capture LIMIT 1`,
          ),
        ).toThrow('capture: evidence is not replaced');
      });
    });

    it('takes no event that leaves a gap, branches off or skips a version', () => {
      withDatabase(setting, (database) => {
        const columns = 'sequence, stream, version, kind, at, person_id, body, previous_hash, hash';
        const last = 'FROM event ORDER BY sequence DESC LIMIT 1';
        const gap = `SELECT sequence + 2, 'workshop', 1, kind, at, person_id, body, hash, hash ${last}`;
        const branch = `SELECT sequence + 1, 'workshop', 1, kind, at, person_id, body, zeroblob(32), hash ${last}`;
        const skip = `SELECT sequence + 1, 'workshop', 2, kind, at, person_id, body, hash, hash ${last}`;
        for (const row of [gap, branch, skip]) {
          expect(() => database.exec(`INSERT INTO event (${columns}) ${row}`)).toThrow(
            'does not follow the chain',
          );
        }
      });
    });
  },
);

describe('the schema', () => {
  it('keeps rows to their types', () => {
    withDatabase('ON', (database) => {
      const unstrict = database
        .prepare<[], string>(
          "SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND strict = 0 AND name NOT LIKE 'sqlite%'",
        )
        .pluck()
        .all();
      expect(unstrict).toEqual([]);
    });
  });
});
