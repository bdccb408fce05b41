import {
  closeSync,
  copyFileSync,
  cpSync,
  existsSync,
  mkdtempSync,
  openSync,
  readFileSync,
  readSync,
  rmSync,
  writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { putInventedDocuments } from '../../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../../electron/station/audit/invented-job.ts';
import type { Problem } from '../../../electron/station/audit/problem.ts';
import { stationReplay } from '../../../electron/station/audit/station-replay.ts';
import type { Replay } from '../../../electron/station/audit/verification.ts';
import { verifyFolder } from '../../../electron/station/audit/verify-folder.ts';
import type { VerifyResult } from '../../../electron/station/audit/verify-result.ts';
import { databaseName } from '../../../electron/station/store/database.ts';
import { headFileName } from '../../../electron/station/store/head-file.ts';
import { openStore } from '../../../electron/station/store/open-store.ts';
import { type Database, openSqlite } from '../../../electron/station/store/sqlite.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { appendJobEvents, tickingClock } from '../store/bench.ts';
import { cellsOf } from './sqlite-cells.ts';

export interface Verdict extends VerifyResult {
  readonly problems: readonly Problem[];
}

/** Verifies a folder to the end. */
export function verdictOn(
  folder: string,
  options: { trustedKeys?: readonly string[]; replay?: Replay; stages?: 'chain' } = {},
): Verdict {
  const problems: Problem[] = [];
  const { trustedKeys = [], replay = stationReplay, stages } = options;
  const steps = verifyFolder({
    folder,
    trustedKeys,
    replay,
    stages,
    onProblem: (problem) => problems.push(problem),
  });
  for (;;) {
    const step = steps.next();
    if (step.done === true) return { ...step.value, problems };
  }
}

/** Closed jobs 1 … `closed` and one open job behind them, as one whole database. */
export function buildEvidence(folder: string, closed: number): void {
  let ids = 0;
  const store = openStore({
    folder,
    clock: tickingClock(),
    createId: () => `id-${++ids}`,
    rules: jobEvidence,
  });
  const references = putInventedDocuments(store);
  const eventsOf = (number: number) =>
    inventedJob(number, Date.UTC(2026, 2, 2) + number * 900_000, references);
  for (let number = 1; number <= closed; number++) appendJobEvents(store, eventsOf(number));
  appendJobEvents(store, eventsOf(closed + 1).slice(0, 5));
  store.close();
}

/** A copy to tamper with. */
export interface Copy {
  readonly folder: string;
  readonly file: string;
  /** Puts back what was there. */
  restore(): void;
  remove(): void;
}

export function copyOf(folder: string): Copy {
  const copy = mkdtempSync(join(tmpdir(), 'bandwright-tamper-'));
  cpSync(folder, copy, { recursive: true });
  const file = join(copy, databaseName);
  return {
    folder: copy,
    file,
    restore() {
      for (const suffix of ['-wal', '-shm', '-journal']) {
        if (existsSync(file + suffix)) rmSync(file + suffix);
      }
      copyFileSync(join(folder, databaseName), file);
      copyFileSync(join(folder, headFileName), join(copy, headFileName));
    },
    remove: () => rmSync(copy, { recursive: true, force: true }),
  };
}

/** Changes a database as somebody with a database tool would: guards off, change, guards on again. */
export function tamper(file: string, change: (database: Database) => void): void {
  const database = openSqlite(file, {});
  try {
    database.pragma('foreign_keys = OFF');
    const triggers = database
      .prepare<[], { name: string; sql: string }>(
        "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'",
      )
      .all();
    for (const { name } of triggers) database.exec(`DROP TRIGGER ${name}`);
    change(database);
    for (const { sql } of triggers) database.exec(sql);
  } finally {
    database.close();
  }
}

/** Evidence columns, table by table, and the column that names the row. */
export const evidenceColumns: readonly (readonly [table: string, key: string, columns: readonly string[]])[] =
  [
    ['event', 'sequence', ['stream', 'version', 'kind', 'at', 'person_id', 'body', 'previous_hash', 'hash']],
    ['record', 'sequence', ['job_id', 'revision', 'serial', 'body', 'hash', 'key_id', 'signature']],
    ['seal', 'sequence', ['stream', 'key_id', 'signature', 'link']],
    ['document', 'rowid', ['hash', 'kind', 'body']],
    ['job', 'sequence', ['job_id', 'serial', 'head_id', 'person_id', 'opened_at']],
    ['job_end', 'sequence', ['job_id', 'phase', 'at']],
    [
      'capture',
      'sequence',
      ['capture_id', 'job_id', 'serial', 'step_id', 'instrument_id', 'certificate_hash', 'decision', 'at'],
    ],
  ];

/** One value of an evidence column, and where its bytes lie in the file. */
export interface Spot {
  readonly table: string;
  readonly column: string;
  /** The row by its key: `sequence`, or `rowid` of a document. */
  readonly row: number;
  readonly jobId: string | null;
  /** Of a document, hexadecimal. */
  readonly hash: string | null;
  readonly places: readonly number[];
}

/** Every value of every evidence column in the file. */
export function spotsOf(file: string): readonly Spot[] {
  const content = readFileSync(file);
  const textAt = (places: readonly number[] = []) => Buffer.from(places.map((place) => content[place]!));
  return evidenceColumns
    .flatMap(([table, , columns]) =>
      cellsOf(file, table).flatMap((cell) =>
        columns.map((column) => ({
          ...{ table, column },
          row:
            table === 'job' || table === 'consumption'
              ? textAt(cell.columns.get('sequence')).readUIntBE(0, cell.columns.get('sequence')!.length)
              : cell.rowid,
          jobId: cell.columns.has('job_id') ? textAt(cell.columns.get('job_id')).toString() : null,
          hash: table === 'document' ? textAt(cell.columns.get('hash')).toString('hex') : null,
          places: cell.columns.get(column) ?? [],
        })),
      ),
    )
    .filter(({ places }) => places.length > 0);
}

/** Changes one byte of a file, whatever it was, by a mask; twice the same mask puts it back. */
export function alterByte(file: string, at: number, mask: number): void {
  const descriptor = openSync(file, 'r+');
  const byte = Buffer.alloc(1);
  readSync(descriptor, byte, 0, 1, at);
  byte[0] = byte[0]! ^ mask;
  writeSync(descriptor, byte, 0, 1, at);
  closeSync(descriptor);
}

/** All evidence as text, to see whether two files say the same. */
export function evidenceIn(file: string): string {
  const database = openSqlite(file, { readonly: true });
  try {
    return evidenceColumns
      .map(([table, key]) =>
        JSON.stringify(database.prepare(`SELECT ${key}, * FROM ${table} ORDER BY ${key}`).raw().all()),
      )
      .join('\n');
  } finally {
    database.close();
  }
}
