import { fork } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import type { SiteClient } from '../../electron/station/site/site-client.ts';
import { writeSiteFile } from '../../electron/station/site/site-file.ts';
import type { SiteBench } from '../site/site-bench.ts';
import { median, quantile, type Row } from './row.ts';
import type { PushedEvent } from './site-station.ts';
import { benches } from './site-store.ts';

const seconds = 30;
/** 20 events a second at each bench. */
const paceMilliseconds = 50;
const settleMilliseconds = 10_000;

/**
 * Eight stations, each a process with its outbox, write at a steady pace: what each event waits between its commit at
 * the bench and the site's word that it has it, and of what that is made. Beside them one row after another is
 * inserted into a plain table.
 */
export async function lagRows(site: SiteBench, bare: SiteClient, size: string, run: string): Promise<Row[]> {
  const stations = [];
  const pushed: PushedEvent[] = [];
  let talking = 0;
  for (let index = 0; index < benches; index++) {
    const login = `lag-${run}-${index}`;
    await site.addBench(login);
    const folder = join(site.folder, login);
    mkdirSync(folder);
    writeSiteFile(folder, { url: site.url(login), passwordFile: site.passwordFile(login) });
    const program = resolve(import.meta.dirname, 'site-station.ts');
    const station = fork(program, [folder, login, String(paceMilliseconds)]);
    let hasPushed = false;
    station.on('message', (events: readonly PushedEvent[]) => {
      if (!hasPushed) talking += 1;
      hasPushed = true;
      pushed.push(...events);
    });
    stations.push(station);
  }
  // Until all are up and have caught up, however busy the machine is.
  while (talking < benches) await sleep(200);
  await sleep(settleMilliseconds);
  const begun = process.hrtime.bigint();
  const inserts = await insertOneByOne(bare);
  const ended = process.hrtime.bigint();
  // What was written at the end has arrived by then.
  await sleep(2000);
  for (const station of stations) station.kill('SIGKILL');
  const counted = pushed.filter(({ committed }) => BigInt(committed) > begun && BigInt(committed) < ended);
  const spans = (from: keyof PushedEvent, to: keyof PushedEvent) =>
    counted.map((event) => Number(BigInt(event[to]) - BigInt(event[from])) / 1e6);
  const [lags, looks, pushes] = [
    spans('committed', 'acknowledged'),
    spans('committed', 'pushed'),
    spans('pushed', 'acknowledged'),
  ];
  const rate = counted.length / seconds / benches;
  const row = (name: string, ours: readonly number[], share: number, note?: string): Row => ({
    name: `${name}, ${size} events there, p${share * 100}`,
    ...({ unit: 'ms', kind: 'cost', baseline: `INSERT of one row, p${share * 100}` } as const),
    ours: quantile(ours, share),
    bare: quantile(inserts, share),
    runs: counted.length,
    ...(note === undefined ? {} : { note }),
  });
  const wait = `p50 ${median(looks).toFixed(1)}, p99 ${quantile(looks, 0.99).toFixed(1)} ms`;
  return [
    row('from the commit at the bench to the word of the site', lags, 0.5),
    row(
      'the same',
      lags,
      0.99,
      `${rate.toFixed(1)} events/s at each of ${benches} benches; of it until the outbox was awake and had read it, behind the push before, ${wait}`,
    ),
    row('of it the push', pushes, 0.5),
    row('of it the push', pushes, 0.99),
  ];
}

/** Milliseconds of each. */
async function insertOneByOne(bare: SiteClient): Promise<number[]> {
  const inserts: number[] = [];
  const text = 'x'.repeat(1700);
  const { rows } = await bare.query<{ next: string }>(
    'SELECT coalesce(max(sequence), 0) + 1 AS next FROM bare.event',
  );
  const until = performance.now() + seconds * 1000;
  for (let sequence = Number(rows[0]?.next); performance.now() < until; sequence++) {
    const start = performance.now();
    await bare.query({
      name: 'one',
      text: `INSERT INTO bare.event (period, chain_id, version, sequence, received_at, stream, kind, at, previous_hash, hash, body)
             VALUES ('2026-01-01', 99, 1, $1, now(), 'job/x', 'x', 'x', decode(repeat('00', 32), 'hex'), decode(repeat('00', 32), 'hex'), $2)`,
      values: [sequence, text],
    });
    inserts.push(performance.now() - start);
    await sleep(paceMilliseconds);
  }
  return inserts;
}
