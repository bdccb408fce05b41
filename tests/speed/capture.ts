import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { setImmediate as moment } from 'node:timers/promises';
import Database from 'better-sqlite3';
import { createSystemClock } from '../../drivers/port/clock.ts';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../electron/station/audit/invented-job.ts';
import { openStore } from '../../electron/station/store/open-store.ts';
import { canonicalJson } from '../../shared/evidence/canonical-json.ts';
import { jobEvidence } from '../../shared/evidence/job-evidence.ts';
import { appendJobEvent } from '../station/store/append-job-event.ts';
import { quantile, type Row, rowOf, timed } from './row.ts';

const runs = 5;
const jobsARun = 80;

/**
 * How long a captured measurement takes until it is on the disk, against a bare insert of the same bytes with the
 * same promise. Both on the disk that holds the project: a folder in memory would tell nothing. Between two captures
 * the station is given a moment, as on a bench, where minutes lie between them.
 */
export async function captureRows(): Promise<Row[]> {
  const artifacts = resolve(import.meta.dirname, '..', '.artifacts');
  mkdirSync(artifacts, { recursive: true });
  const folder = mkdtempSync(join(artifacts, 'capture-'));
  const store = openStore({
    folder: join(folder, 'ours'),
    clock: createSystemClock(),
    createId: () => 'station',
    rules: jobEvidence,
  });
  const references = putInventedDocuments(store);
  const insert = openBare(join(folder, 'bare.sqlite'));
  const middle = { ours: [] as number[], bare: [] as number[] };
  const late = { ours: [] as number[], bare: [] as number[] };
  let number = 0;
  for (let run = -1; run < runs; run += 1) {
    const ours: number[] = [];
    const bare: number[] = [];
    for (let job = 0; job < jobsARun; job += 1) {
      number += 1;
      for (const event of inventedJob(number, Date.now(), references)) {
        const append = () => appendJobEvent(store, event);
        if (event.kind !== 'measurementCaptured') {
          append();
          continue;
        }
        const body = canonicalJson(event);
        const insertOne = () => insert(`job/${event.jobId}`, body);
        if (job % 2 === 0) ours.push(timed(append));
        bare.push(timed(insertOne));
        if (job % 2 === 1) ours.push(timed(append));
        await moment();
      }
    }
    if (run < 0) continue;
    middle.ours.push(quantile(ours, 0.5));
    middle.bare.push(quantile(bare, 0.5));
    late.ours.push(quantile(ours, 0.99));
    late.bare.push(quantile(bare, 0.99));
  }
  store.close();
  rmSync(folder, { recursive: true, force: true });
  const about = {
    unit: 'ms',
    kind: 'cost',
    baseline: 'better-sqlite3 insert of the same bytes, WAL, synchronous=FULL',
  } as const;
  return [
    rowOf({ name: 'durable capture p50', ...about }, middle.ours, middle.bare),
    rowOf({ name: 'durable capture p99', ...about, aim: 1.5 }, late.ours, late.bare),
  ];
}

function openBare(file: string): (stream: string, body: string) => void {
  const database = new Database(file);
  database.pragma('page_size = 8192');
  database.pragma('journal_mode = WAL');
  database.pragma('synchronous = FULL');
  database.exec('CREATE TABLE event (sequence INTEGER PRIMARY KEY, stream TEXT, body TEXT)');
  const insert = database.prepare('INSERT INTO event (stream, body) VALUES (?, ?)');
  return (stream, body) => insert.run(stream, body);
}
