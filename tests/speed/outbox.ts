import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { createSystemClock } from '../../drivers/port/clock.ts';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../electron/station/audit/invented-job.ts';
import { writeSiteFile } from '../../electron/station/site/site-file.ts';
import { type SiteLink, startSiteLink } from '../../electron/station/site/site-link.ts';
import { openStore } from '../../electron/station/store/open-store.ts';
import type { Store } from '../../electron/station/store/store.ts';
import { jobEvidence } from '../../shared/evidence/job-evidence.ts';
import { SiteBench } from '../site/site-bench.ts';
import { appendJobEvent } from '../station/store/append-job-event.ts';
import { quantile, type Row, tableOf, timed } from './row.ts';

const runs = 6;

/** How a bench writes: as fast as it can, or with a pause behind each event. */
interface Pace {
  readonly name: string;
  readonly jobsARun: number;
  readonly pauseMilliseconds: number;
}

const paces: readonly Pace[] = [
  { name: 'as fast as it can', jobsARun: 40, pauseMilliseconds: 0 },
  // More than the hands of a technician do in a minute, each second.
  { name: '20 events/s', jobsARun: 20, pauseMilliseconds: 50 },
];

/** What an outbox that pushes beside it costs a capture, at each pace. */
export async function outboxRows(): Promise<Row[]> {
  const rows: Row[] = [];
  for (const pace of paces) rows.push(...(await rowsAt(pace)));
  return rows;
}

/**
 * The same store with and without an outbox, by turns. The server stands on the same machine, so its share of processors
 * and disk is in it, which a site elsewhere does not take.
 */
async function rowsAt(pace: Pace): Promise<Row[]> {
  const artifacts = resolve(import.meta.dirname, '..', '.artifacts');
  mkdirSync(artifacts, { recursive: true });
  const folder = mkdtempSync(join(artifacts, 'outbox-'));
  const site = await SiteBench.start();
  await site.addBench('bench-1');
  const clock = createSystemClock();
  const store = openStore({ folder, clock, createId: () => 'station', rules: jobEvidence });
  writeSiteFile(folder, { url: site.url('bench-1'), passwordFile: site.passwordFile('bench-1') });
  const write = writerOf(store, pace);
  const taken = { with: [] as number[], without: [] as number[] };
  let pushed = 0;
  let took = 0;
  try {
    for (let run = -1; run < runs; run += 1) {
      for (const turn of run % 2 === 0 ? (['with', 'without'] as const) : (['without', 'with'] as const)) {
        const link = turn === 'with' ? await linkOf(folder, store) : null;
        const before = link === null ? 0 : await site.count('SELECT count(*) FROM bandwright.event');
        const start = performance.now();
        const times = await write();
        const milliseconds = performance.now() - start;
        if (link !== null) {
          const after = await site.count('SELECT count(*) FROM bandwright.event');
          await link.close();
          if (run >= 0) [pushed, took] = [pushed + after - before, took + milliseconds];
        }
        if (run < 0) continue;
        taken[turn].push(...times);
      }
    }
  } finally {
    store.close();
    await site.end();
    rmSync(folder, { recursive: true, force: true });
  }
  const about = { unit: 'ms', kind: 'cost', baseline: 'the same store without an outbox' } as const;
  const note = `${Math.round((1000 * pushed) / took)} events/s came to the site meanwhile`;
  return [0.5, 0.99].map((share) => ({
    name: `durable capture beside an outbox, ${pace.name}, p${share * 100}`,
    ...about,
    ours: quantile(taken.with, share),
    bare: quantile(taken.without, share),
    runs: taken.with.length,
    ...(share === 0.5 ? { note } : {}),
  }));
}

/** Writes some jobs, one event after the other, and tells how long each capture took until it was on the disk. */
function writerOf(store: Store, { jobsARun, pauseMilliseconds }: Pace): () => Promise<number[]> {
  const references = putInventedDocuments(store);
  let number = 0;
  return async () => {
    const times: number[] = [];
    for (let job = 0; job < jobsARun; job += 1) {
      number += 1;
      for (const event of inventedJob(number, Date.now(), references)) {
        const append = () => appendJobEvent(store, event);
        if (event.kind === 'measurementCaptured') times.push(timed(append));
        else append();
        if (pauseMilliseconds > 0) await new Promise((done) => setTimeout(done, pauseMilliseconds));
      }
      // The outbox has a thread of its own; what it tells is heard between two jobs, as at a bench.
      await new Promise((done) => setImmediate(done));
    }
    return times;
  };
}

/** An outbox as a served station has it, when it is up to date. */
async function linkOf(dataFolder: string, store: Store): Promise<SiteLink> {
  const quiet = () => undefined;
  const link = startSiteLink({
    dataFolder,
    onCommit: store.onCommit,
    log: { info: quiet, warn: quiet, error: quiet },
    reportFault: (_code, message) => process.stderr.write(`${message}\n`),
    endFaults: quiet,
    openPublications: () => ({ takenUpTo: () => 0, take: quiet }),
  });
  while (link.status()?.state !== 'up_to_date') await new Promise((done) => setTimeout(done, 20));
  return link;
}

/** Run by itself, it prints its rows. */
if (import.meta.main) process.stdout.write(`${tableOf(await outboxRows())}\n`);
