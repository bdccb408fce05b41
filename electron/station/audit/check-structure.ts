import { migrations } from '../store/migrations/all.ts';
import { type Database, openSqlite } from '../store/sqlite.ts';
import { attempt, nobody } from './naming.ts';
import type { Verification } from './verification.ts';

interface SchemaEntry {
  readonly name: string;
  readonly type: string;
  readonly sql: string | null;
}

/** Tables, indexes and the triggers that refuse changes are those of the program. */
export function checkSchema({ database, report }: Verification): void {
  const expected = expectedSchema();
  const found = attempt(() => schemaOf(database));
  if (found === undefined) {
    report('database', nobody, null, 'the schema of the database cannot be read');
    return;
  }
  for (const [name, { type, sql }] of expected) {
    const entry = found.get(name);
    if (entry?.sql === sql) continue;
    const what = entry === undefined ? 'was removed' : 'was altered';
    report(
      'database',
      nobody,
      null,
      `the ${type} "${name}" ${what}${type === 'trigger' ? ': it keeps evidence from being changed' : ''}`,
    );
  }
  for (const [name, { type }] of found) {
    if (!expected.has(name))
      report('database', nobody, null, `the ${type} "${name}" was added by another program`);
  }
}

let known: Map<string, SchemaEntry> | undefined;

/** As the migrations make it, by SQLite itself. */
function expectedSchema(): Map<string, SchemaEntry> {
  if (known !== undefined) return known;
  const database = openSqlite(':memory:', {});
  for (const { sql } of migrations) database.exec(sql);
  known = schemaOf(database);
  database.close();
  return known;
}

function schemaOf(database: Database): Map<string, SchemaEntry> {
  const rows = database
    .prepare<[], SchemaEntry>(
      `SELECT name, type, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\'`,
    )
    .all();
  return new Map(rows.map((row) => [row.name, row]));
}

const shownFindings = 10;

/** SQLite's own check of the file: pages, order of rows, indexes against tables, types. */
export function checkFile({ database, report }: Verification): void {
  const findings = attempt(
    () =>
      database.pragma(`integrity_check(${shownFindings})`) as readonly { readonly integrity_check: string }[],
  );
  if (findings === undefined) {
    report('database', nobody, null, 'the database file is damaged: SQLite cannot check it');
    return;
  }
  for (const { integrity_check: finding } of findings) {
    if (finding !== 'ok')
      report('database', nobody, null, `the database file is damaged: ${finding.split('\n').at(-1)}`);
  }
}
