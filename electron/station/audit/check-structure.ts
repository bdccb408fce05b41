import { type Finding, finding } from '../../../shared/audit/finding.ts';
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
    report('database', nobody, null, finding('schemaUnreadable', {}));
    return;
  }
  for (const [name, { type, sql }] of expected) {
    const entry = found.get(name);
    if (entry?.sql === sql) continue;
    report('database', nobody, null, schemaFinding(type, name, entry === undefined));
  }
  for (const [name, { type }] of found) {
    if (!expected.has(name)) report('database', nobody, null, finding('schemaEntryAdded', { type, name }));
  }
}

/** Triggers are the guards that keep evidence from being changed. */
function schemaFinding(type: string, name: string, isGone: boolean): Finding {
  if (type === 'trigger') return finding(isGone ? 'guardRemoved' : 'guardAltered', { name });
  return finding(isGone ? 'schemaEntryRemoved' : 'schemaEntryAltered', { type, name });
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
    report('database', nobody, null, finding('fileUncheckable', {}));
    return;
  }
  for (const { integrity_check: found } of findings) {
    if (found !== 'ok')
      report('database', nobody, null, finding('fileDamaged', { message: found.split('\n').at(-1) ?? '' }));
  }
}
