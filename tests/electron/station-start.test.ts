import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { databaseName } from '../../electron/station/store/database.ts';
import { lockFolder } from '../../electron/station/store/folder-lock.ts';
import { openSqlite } from '../../electron/station/store/sqlite.ts';
import { startStationInNode } from '../../electron/station-start.ts';

const entry = join(import.meta.dirname, '..', '..', 'electron', 'station', 'main.ts');
let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bandwright-station-start-'));
});

afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

test('a station in a folder that another one holds says so by a code and in a sentence', async () => {
  const lock = lockFolder(folder);
  const end = await startStationInNode(process.execPath, entry, ['--data', folder]).ended;
  lock.release();
  expect(end).toMatchObject({ how: 'exit code 1', fault: { code: 'held', values: {} } });
  expect(end.lastWords).toContain('a station already works in this data folder');
});

test('a station on a database of a newer version says which', async () => {
  const database = openSqlite(join(folder, databaseName), {});
  database.exec('CREATE TABLE event (a); PRAGMA application_id = 0x42576576; PRAGMA user_version = 999');
  database.close();
  const end = await startStationInNode(process.execPath, entry, ['--data', folder]).ended;
  expect(end.fault).toMatchObject({ code: 'newer_schema', values: { schema: 999 } });
});
