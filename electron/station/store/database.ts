import { accessSync, constants, existsSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { headFileName } from './head-file.ts';
import { migrations } from './migrations/all.ts';
import { type Database, openSqlite } from './sqlite.ts';
import { StoreFault, withFaults } from './store-fault.ts';

export const databaseName = 'station.sqlite';

/** `BWev` in the file's header (PRAGMA application_id): says whose file it is. */
const applicationId = 0x42576576;
export const schemaVersion = migrations.at(-1)?.version ?? 0;

/**
 * Opens the station's database for writing, creates it when it is not there, and brings its schema up to date.
 *
 * @param waitMs how long to wait for another program's lock
 * @throws StoreFault `not_ours`, `newer_schema`, `damaged`, `busy`, `cannot_open` …
 */
export function openDatabase(folder: string, waitMs: number): Database {
  refuseEmptied(folder);
  refuseReadOnly(folder);
  return withFaults(() => {
    const database = openSqlite(join(folder, databaseName), { timeout: waitMs });
    try {
      setUp(database);
      // A database without a schema is new, unless something was signed already: then its WAL is spoiled.
      if (userVersion(database) === 0 && isFilled(folder, headFileName)) throw goneOrEmpty();
      // Captures are a few kB: a larger page than the usual 4096 bytes holds several. Only a new file takes it.
      database.pragma('page_size = 8192');
      database.pragma('journal_mode = WAL');
      // A commit is on the disk before it is reported: power may go at any instant.
      database.pragma('synchronous = FULL');
      // Makes INSERT OR REPLACE fire the delete triggers (the insert triggers refuse it in any case).
      database.pragma('recursive_triggers = ON');
      migrate(database);
      return database;
    } catch (error) {
      closeAsFound(folder, database);
      throw error;
    }
  });
}

/**
 * Closes a database that is refused and leaves its files as they are. SQLite would work the WAL into a damaged file
 * and delete it; as long as another connection is open it does not, and one that only reads does not at all.
 */
export function closeAsFound(folder: string, database: Database): void {
  let watcher: Database | undefined;
  try {
    watcher = openSqlite(join(folder, databaseName), { readonly: true, fileMustExist: true });
    userVersion(watcher);
  } catch {
    // Too damaged to be read: then there is nothing to work in either.
  }
  database.close();
  watcher?.close();
}

/** Opens the database of a folder for reading only, while a station may be writing to it. */
export function openDatabaseToRead(folder: string, waitMs = 5000): Database {
  const file = join(folder, databaseName);
  if (!existsSync(file)) {
    throw new StoreFault('no_database', `no database in ${folder}; name the data folder with --data DIR`);
  }
  return withFaults(() => {
    const database = openSqlite(file, { readonly: true, fileMustExist: true, timeout: waitMs });
    try {
      setUp(database);
      if (userVersion(database) < schemaVersion) {
        throw new StoreFault(
          'older_schema',
          'the database has an older schema; start the station once to bring it up',
        );
      }
      return database;
    } catch (error) {
      database.close();
      throw error;
    }
  });
}

/** A database that is gone or empty beside its WAL or head: SQLite would begin a new one and delete the WAL. */
function refuseEmptied(folder: string): void {
  if (isFilled(folder, databaseName)) return;
  if (isFilled(folder, `${databaseName}-wal`) || isFilled(folder, headFileName)) throw goneOrEmpty();
}

function isFilled(folder: string, name: string): boolean {
  return (statSync(join(folder, name), { throwIfNoEntry: false })?.size ?? 0) > 0;
}

function goneOrEmpty(): StoreFault {
  return new StoreFault(
    'damaged',
    'the database is gone or empty but others of its files are there; set them aside and restore the newest backup',
  );
}

/** SQLite opens a file that it may not write for reading, and says so only when the first reading is captured. */
function refuseReadOnly(folder: string): void {
  for (const name of [databaseName, `${databaseName}-wal`, `${databaseName}-shm`]) {
    const file = join(folder, name);
    if (!existsSync(file)) continue;
    try {
      accessSync(file, constants.R_OK | constants.W_OK);
    } catch (error) {
      const message = `${name} may not be written; check the rights of the files in the data folder`;
      throw new StoreFault('read_only', message, { cause: error });
    }
  }
}

function setUp(database: Database): void {
  database.pragma('trusted_schema = OFF');
  database.pragma('cell_size_check = ON');
  database.pragma('foreign_keys = ON');
  const owner = Number(database.pragma('application_id', { simple: true }));
  const version = userVersion(database);
  if (owner !== applicationId && !(owner === 0 && version === 0 && isEmpty(database))) {
    throw new StoreFault(
      'not_ours',
      'the database file belongs to another program; name another data folder',
    );
  }
  if (version > schemaVersion) {
    throw new StoreFault(
      'newer_schema',
      `the database was written by a newer version (schema ${version}, this program knows ${schemaVersion}); use that version`,
      { values: { schema: version, known: schemaVersion } },
    );
  }
}

function migrate(database: Database): void {
  for (const migration of migrations) {
    if (migration.version <= userVersion(database)) continue;
    database
      .transaction(() => {
        database.exec(migration.sql);
        database.pragma(`application_id = ${applicationId}`);
        database.pragma(`user_version = ${migration.version}`);
      })
      .immediate();
  }
}

function userVersion(database: Database): number {
  return Number(database.pragma('user_version', { simple: true }));
}

function isEmpty(database: Database): boolean {
  return database.prepare<[], number>('SELECT count(*) FROM sqlite_schema').pluck().get() === 0;
}
