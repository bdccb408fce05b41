import Sqlite from 'better-sqlite3';

/** The one place that names the SQLite binding. */
export const { SqliteError } = Sqlite;
export type Database = Sqlite.Database;
export type Statement<Parameters extends unknown[] = unknown[], Row = unknown> = Sqlite.Statement<
  Parameters,
  Row
>;

/** Opens a database file, or the bytes of one in memory. Waits up to `timeout` ms for another program's lock. */
export function openSqlite(file: string | Buffer, options: Sqlite.Options): Database {
  return new Sqlite(file, options);
}
