import { createHash } from 'node:crypto';
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { csvStyleOf } from '../../electron/station/audit/csv.ts';
import { exportReadings } from '../../electron/station/audit/export-readings.ts';
import { stationReplay } from '../../electron/station/audit/station-replay.ts';
import { verifyFolder } from '../../electron/station/audit/verify-folder.ts';
import { runVerify } from '../../electron/station/audit/verify-run.ts';
import { databaseName, openDatabaseToRead } from '../../electron/station/store/database.ts';
import { createEvidenceReader } from '../../electron/station/store/evidence-reader.ts';
import { inventedEvidence } from './invented-evidence.ts';
import { byTurns, type Row, rowOf } from './row.ts';

const jobs = 2000;
const runs = 5;

/** The auditor's long reads against what the bytes alone would take. */
export async function auditRows(say: (line: string) => void): Promise<Row[]> {
  const folder = inventedEvidence(jobs, say);
  return [...verifyRows(folder), await allProcessorsRow(folder), exportRow(folder)];
}

function verifyRows(folder: string): Row[] {
  const file = join(folder, databaseName);
  const megabytes = statSync(file).size / 1e6;
  const verify = () => megabytes / seconds(() => verifyWhole(folder));
  const verifyChain = () => megabytes / seconds(() => verifyWhole(folder, 'chain'));
  const hashFile = () => megabytes / seconds(() => hashOf(file));
  const database = openDatabaseToRead(folder);
  const rowsOf = [
    'SELECT * FROM event',
    'SELECT * FROM record',
    'SELECT * FROM document',
    'SELECT * FROM seal',
  ];
  const walk = () =>
    megabytes /
    seconds(() => {
      for (const sql of rowsOf) {
        for (const row of database.prepare<[], object>(sql).iterate()) {
          const hash = createHash('sha256');
          for (const cell of Object.values(row))
            hash.update(typeof cell === 'number' ? String(cell) : (cell ?? ''));
          hash.digest();
        }
      }
    });
  const about = { unit: 'MB/s', kind: 'slowdown' } as const;
  const rows = [
    { name: 'verify, the chain alone', work: verifyChain, aim: { aim: 3 } },
    { name: 'verify, chain and content', work: verify, aim: {} },
  ].flatMap(({ name, work, aim }) => {
    const [ours, walked] = byTurns(runs, work, walk);
    const [again, hashed] = byTurns(runs, work, hashFile);
    const both = [...ours, ...again];
    return [
      rowOf({ name, ...about, ...aim, baseline: 'SHA-256 of the database file' }, both, hashed),
      rowOf({ name, ...about, baseline: 'SELECT and SHA-256 of every row' }, both, walked),
    ];
  });
  database.close();
  return rows;
}

/** As the command verifies: in threads, with their start, on every processor. */
async function allProcessorsRow(folder: string): Promise<Row> {
  const file = join(folder, databaseName);
  const megabytes = statSync(file).size / 1e6;
  const ours: number[] = [];
  const bare: number[] = [];
  for (let run = -1; run < runs; run++) {
    const start = performance.now();
    await runVerify({ folder, threads: availableParallelism(), onProblem: fail });
    const ourSeconds = (performance.now() - start) / 1000;
    const bareSeconds = seconds(() => hashOf(file));
    if (run < 0) continue;
    ours.push(megabytes / ourSeconds);
    bare.push(megabytes / bareSeconds);
  }
  const name = 'verify, both on every processor';
  const baseline = 'SHA-256 of the database file';
  return rowOf({ name, unit: 'MB/s', kind: 'slowdown', baseline }, ours, bare);
}

function hashOf(file: string): void {
  createHash('sha256').update(readFileSync(file)).digest();
}

function fail(problem: { readonly sentence: string }): never {
  throw new Error(problem.sentence);
}

function verifyWhole(folder: string, stages?: 'chain'): void {
  const walk = verifyFolder({
    folder,
    stages,
    trustedKeys: [],
    replay: stationReplay,
    onProblem: fail,
  });
  while (walk.next().done !== true);
}

function exportRow(folder: string): Row {
  const database = openDatabaseToRead(folder);
  const reader = createEvidenceReader(database);
  const target = join(folder, 'readings.csv');
  const total = reader.countCaptures({});
  const exportCsv = () =>
    total /
    seconds(() => {
      const pieces: string[] = [];
      for (const { text } of exportReadings(reader, { format: 'csv', filter: {}, style: csvStyleOf('en') }))
        pieces.push(text);
      writeFileSync(target, pieces.join(''));
    });
  const select = database.prepare<[], { body: string }>(
    'SELECT event.body FROM capture JOIN event ON event.sequence = capture.sequence ORDER BY capture.sequence',
  );
  const selectAndWrite = () =>
    total /
    seconds(() => {
      const pieces: string[] = [];
      for (const { body } of select.iterate()) pieces.push(body, '\n');
      writeFileSync(target, pieces.join(''));
    });
  const [ours, bare] = byTurns(runs, exportCsv, selectAndWrite);
  database.close();
  return rowOf(
    {
      name: 'export to CSV',
      unit: 'readings/s',
      kind: 'slowdown',
      baseline: 'SELECT of the same events, written as they are',
    },
    ours,
    bare,
  );
}

function seconds(work: () => void): number {
  const start = performance.now();
  work();
  return (performance.now() - start) / 1000;
}
