import { copyFileSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { databaseName, schemaVersion } from '../../../electron/station/store/database.ts';
import { replaceLostKey } from '../../../electron/station/store/key-change.ts';
import { openEvidence } from '../../../electron/station/store/open-store.ts';
import { openSqlite } from '../../../electron/station/store/sqlite.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { verdictOn } from '../audit/tampering.ts';
import { openTestStore, temporaryFolder, tickingClock, writeInventedJobs } from './bench.ts';

const fixtures = join(import.meta.dirname, '..', '..', 'fixtures', 'schemas');
const versions = readdirSync(fixtures)
  .filter((name) => /^\d+$/.test(name))
  .map(Number)
  .sort((a, b) => a - b);

/** A data folder as that version left it. */
function folderOf(version: number): string {
  const folder = temporaryFolder();
  const from = join(fixtures, String(version));
  writeFileSync(join(folder, databaseName), gunzipSync(readFileSync(join(from, `${databaseName}.gz`))));
  copyFileSync(join(from, 'station.head'), join(folder, 'station.head'));
  return folder;
}

/** The backup has no private key: an administrator lets the station go on with a new one. */
function goOn(folder: string): void {
  const options = { folder, clock: tickingClock(Date.UTC(2026, 3, 1)), createId: () => 'id' };
  expect(replaceLostKey({ ...options, rules: jobEvidence }, 'quartz').ok).toBe(true);
}

/** Tables, indexes and triggers of a database. */
function schemaOf(folder: string): unknown[] {
  const database = openSqlite(join(folder, databaseName), { readonly: true });
  const schema = database
    .prepare(
      "SELECT type, name, tbl_name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite_%' ORDER BY type, name",
    )
    .all();
  const version = database.pragma('user_version', { simple: true });
  database.close();
  return [version, ...schema];
}

it('there is a database of every schema up to this one', () => {
  expect(versions).toEqual(Array.from({ length: schemaVersion }, (_, index) => index + 1));
});

describe.for(versions)('a database of schema %i', (version) => {
  it('is what that version wrote', () => {
    expect(schemaOf(folderOf(version))[0]).toBe(version);
  });

  it('becomes one of this schema, with every event, and its evidence verifies', () => {
    const folder = folderOf(version);
    goOn(folder);
    const fresh = temporaryFolder();
    openTestStore(fresh).close();
    expect(schemaOf(folder)).toEqual(schemaOf(fresh));
    const { problems, events } = verdictOn(folder);
    // The new key, and nothing else.
    expect(problems).toMatchObject([{ kind: 'key', sequence: events }]);
    const evidence = openEvidence(folder);
    expect(evidence.countJobs({})).toBe(2);
    evidence.close();
  });

  it('is worked on', () => {
    const folder = folderOf(version);
    goOn(folder);
    const store = openTestStore(folder, { clock: tickingClock(Date.UTC(2026, 3, 2)) });
    writeInventedJobs(store, 1, 3);
    store.close();
    expect(verdictOn(folder).problems).toMatchObject([{ kind: 'key' }]);
  });
});
