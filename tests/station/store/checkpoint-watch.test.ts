import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { setImmediate as moment } from 'node:timers/promises';
import { expect, it } from 'vitest';
import { databaseName } from '../../../electron/station/store/database.ts';
import { openSqlite } from '../../../electron/station/store/sqlite.ts';
import { openTestStore, temporaryFolder } from './bench.ts';

/** Number of events in the database file alone, without its write-ahead log. */
function eventsInFile(folder: string): number {
  const alone = temporaryFolder();
  copyFileSync(join(folder, databaseName), join(alone, databaseName));
  const database = openSqlite(join(alone, databaseName), { readonly: true });
  try {
    const hasSchema =
      database.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'event'").get() !== undefined;
    return hasSchema ? Number(database.prepare('SELECT count(*) FROM event').pluck().get()) : 0;
  } finally {
    database.close();
  }
}

it('between two appends the log is worked into the database, within none of them', async () => {
  const folder = temporaryFolder();
  const store = openTestStore(folder);
  const before = eventsInFile(folder);
  for (let version = 0; version < 200; version += 1) {
    const events = [{ kind: 'noted', body: { version } }];
    const request = { stream: 'workshop', expectedVersion: version, personId: null, events };
    expect(store.append(request)).toMatchObject({ ok: true });
    if (version < 199) expect(eventsInFile(folder)).toBe(before);
  }
  await moment();
  expect(eventsInFile(folder)).toBeGreaterThanOrEqual(200);
});
