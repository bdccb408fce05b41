import { fork } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { chanceOf, inventedSerial } from '../../electron/station/audit/invented-job.ts';
import { visitAsJson } from '../../electron/station/audit/timeline.ts';
import type { ChainPiece } from '../../electron/station/site/local-chain.ts';
import type { SiteClient } from '../../electron/station/site/site-client.ts';
import { connectSite } from '../../electron/station/site/site-client.ts';
import { writeSiteFile } from '../../electron/station/site/site-file.ts';
import { readSiteVisits } from '../../electron/station/site/site-serial.ts';
import { eventArrays, type SiteSession, sealArrays } from '../../electron/station/site/site-session.ts';
import { SiteBench } from '../site/site-bench.ts';
import { loadText, median, quantile, type Row, rowOf, tableOf } from './row.ts';
import { type GrowingChain, growChain } from './site-chain.ts';

const benches = 8;
const jobsAPiece = 100;
const lookups = 500;
const turns = 12;
const lagSeconds = 30;
/** 20 events a second at each bench. */
const paceMilliseconds = 50;
const firstDay = Date.UTC(2026, 0, 1);
/** Ten million events are 156 250 jobs at each of eight benches: they fill seventeen months. */
const betweenJobs = 280_000;

type Say = (line: string) => void;

/** The chains of eight benches and the way of each to the site. */
interface Loader {
  readonly site: SiteBench;
  readonly chains: readonly GrowingChain[];
  readonly sessions: readonly SiteSession[];
  readonly bare: SiteClient;
  /** Jobs of each bench. */
  readonly jobs: number[];
  events: number;
}

/**
 * Loads a site store through `push`, as benches do, and measures at each size: loading, one serial across all benches,
 * and at the largest what a record waits until it is at the site.
 *
 * @param sizes events at the site, ascending
 * @param minutes loading ends after this time at whatever size it has reached
 */
export async function siteRows(sizes: readonly number[], minutes: number, say: Say): Promise<Row[]> {
  // Memory as a small server of its own has it. Every commit waits for the disk, as usual.
  const site = await SiteBench.start({
    shared_buffers: '1GB',
    max_wal_size: '4GB',
    checkpoint_timeout: '15min',
  });
  const loader = await begin(site);
  const rows: Row[] = [];
  const serials: number[][] = [];
  const end = performance.now() + minutes * 60_000;
  try {
    for (const size of sizes) {
      await loadTo(loader, size, end, say);
      const reached = loader.events.toLocaleString('en').replaceAll(',', ' ');
      const more = [await loadingRow(loader, reached), ...(await bySerialRows(loader, reached, serials))];
      rows.push(...more);
      say(`${reached} events (load ${loadText()})\n${tableOf(more)}`);
      if (performance.now() > end) break;
    }
    rows.push(...growthRows(serials, sizes));
    rows.push(await lagRow(loader));
  } finally {
    for (const session of loader.sessions) await session.close();
    await loader.bare.end();
    await site.end();
  }
  return rows;
}

async function begin(site: SiteBench): Promise<Loader> {
  const chains: GrowingChain[] = [];
  const sessions: SiteSession[] = [];
  for (let bench = 0; bench < benches; bench++) {
    await site.addBench(`bench-${bench}`);
    sessions.push(await site.session(`bench-${bench}`));
    const serialOf = (job: number) => inventedSerial(1 + job * benches + bench);
    chains.push(growChain(`station-${bench}`, serialOf, (job) => firstDay + job * betweenJobs));
  }
  const bare = await connectSite(site.access('site_administrator'));
  // The same columns with their primary keys, and nothing else: no checks, no index, no partition.
  await bare.query(`CREATE SCHEMA bare;
    CREATE TABLE bare.event (LIKE bandwright.event); ALTER TABLE bare.event ADD PRIMARY KEY (chain_id, sequence);
    CREATE TABLE bare.seal (LIKE bandwright.seal); ALTER TABLE bare.seal ADD PRIMARY KEY (chain_id, sequence);
    CREATE TABLE bare.record (LIKE bandwright.record); ALTER TABLE bare.record ADD PRIMARY KEY (chain_id, sequence)`);
  return { site, chains, sessions, bare, jobs: chains.map(() => 0), events: 0 };
}

/** Two benches at a time, by turns: while the server works for one, the next piece of the other is made. */
async function loadTo(loader: Loader, size: number, end: number, say: Say): Promise<void> {
  let told = performance.now();
  const lanes = [0, 1].map(async (lane) => {
    for (let turn = 0; loader.events < size && performance.now() < end; turn++) {
      await pushPiece(loader, (turn * 2 + lane) % benches);
      if (performance.now() - told < 30_000) continue;
      told = performance.now();
      say(`${loader.events} events (load ${loadText()})`);
    }
  });
  await Promise.all(lanes);
  await loader.site.asAdministrator((client) => client.query('ANALYZE'));
}

/** The time of the push alone, in milliseconds, and its piece. */
async function pushPiece(
  loader: Loader,
  bench: number,
): Promise<{ milliseconds: number; piece: ChainPiece }> {
  const [chain, session] = [loader.chains[bench], loader.sessions[bench]];
  if (chain === undefined || session === undefined) throw new Error(`no bench ${bench}`);
  const piece = chain.piece(jobsAPiece);
  const start = performance.now();
  const answer = await session.push(chain.stationId, piece);
  const milliseconds = performance.now() - start;
  if (!answer.accepted) throw new Error(`refused: ${answer.reason} ${answer.detail}`);
  loader.events += piece.events.length;
  loader.jobs[bench] = (loader.jobs[bench] ?? 0) + jobsAPiece;
  return { milliseconds, piece };
}

async function loadingRow(loader: Loader, reached: string): Promise<Row> {
  const [ours, bare]: [number[], number[]] = [[], []];
  for (let turn = -1; turn < turns; turn++) {
    const { milliseconds, piece } = await pushPiece(loader, (turn + benches) % benches);
    const start = performance.now();
    await insertBare(loader.bare, (turn + benches) % benches, piece);
    const bareMilliseconds = performance.now() - start;
    if (turn < 0) continue;
    ours.push(piece.events.length / (milliseconds / 1000));
    bare.push(piece.events.length / (bareMilliseconds / 1000));
  }
  const about = {
    unit: 'events/s',
    kind: 'slowdown',
    baseline: 'INSERT of the same rows into plain tables',
  } as const;
  return rowOf({ name: `push, ${reached} events there`, ...about }, ours, bare);
}

async function insertBare(
  client: SiteClient,
  chainId: number,
  { events, seals, records }: ChainPiece,
): Promise<void> {
  await client.query('BEGIN');
  await client.query(
    `INSERT INTO bare.event (period, chain_id, received_at, sequence, stream, version, kind, at, person_id, body, previous_hash, hash)
     SELECT '2026-01-01', $10, now(), * FROM unnest($1::bigint[], $2::text[], $3::integer[], $4::text[], $5::text[], $6::text[], $7::text[], $8::bytea[], $9::bytea[])`,
    [...eventArrays(events), chainId],
  );
  await client.query(
    `INSERT INTO bare.seal (period, chain_id, sequence, stream, key_id, signature, link)
     SELECT '2026-01-01', $6, * FROM unnest($1::bigint[], $2::text[], $3::text[], $4::bytea[], $5::bytea[])`,
    [...sealArrays(seals), chainId],
  );
  const signed = events.filter(({ kind }) => kind === 'recordSigned');
  await client.query(
    `INSERT INTO bare.record (period, chain_id, revision, job_id, serial, key_id, signature, sequence, hash, body)
     SELECT '2026-01-01', $4, 1, 'job', 'serial', 'key', decode(repeat('00', 64), 'hex'), * FROM unnest($1::bigint[], $2::bytea[], $3::text[])`,
    [signed.map(({ sequence }) => sequence), signed.map(({ hash }) => hash), records, chainId],
  );
  await client.query('COMMIT');
}

const bareVisit = `SELECT e.* FROM bandwright.job j JOIN bandwright.event e
  ON e.period = j.period AND e.chain_id = j.chain_id AND e.stream = 'job/' || j.job_id
  WHERE j.serial = $1 ORDER BY e.chain_id, e.sequence`;
const bareRecord = `SELECT r.* FROM bandwright.job j JOIN bandwright.record r
  ON r.period = j.period AND r.chain_id = j.chain_id AND r.job_id = j.job_id WHERE j.serial = $1`;

async function bySerialRows(loader: Loader, reached: string, serials: number[][]): Promise<Row[]> {
  const [ours, bare]: [number[], number[]] = [[], []];
  await loader.site.as('auditor', async (client) => {
    for (let round = -20; round < lookups; round++) {
      const bench = (round + 1000) % benches;
      const job = Math.floor(chanceOf(round + 1000, loader.events) * (loader.jobs[bench] ?? 0));
      const serial = inventedSerial(1 + job * benches + bench);
      const timeline = async () => {
        const { visits, close } = await readSiteVisits(client, serial);
        if (visits.map(({ reader, visit }) => visitAsJson(reader, visit)).length === 0)
          throw new Error(`${serial} is not there`);
        close();
      };
      const select = async () => {
        await client.query({ name: 'visit', text: bareVisit, values: [serial] });
        await client.query({ name: 'record', text: bareRecord, values: [serial] });
      };
      // Which comes first finds the pages cold: by turns.
      const [first, second] = round % 2 === 0 ? [timeline, select] : [select, timeline];
      const times = [await timed(first), await timed(second)];
      if (round < 0) continue;
      ours.push(times[round % 2 === 0 ? 0 : 1] ?? Number.NaN);
      bare.push(times[round % 2 === 0 ? 1 : 0] ?? Number.NaN);
    }
  });
  serials.push(ours);
  const about = { unit: 'ms', kind: 'cost', baseline: 'SELECT of the same rows', runs: lookups } as const;
  return [
    { name: `by serial, ${reached} events, p50`, ...about, ours: median(ours), bare: median(bare) },
    {
      name: `by serial, ${reached} events, p99`,
      ...about,
      ours: quantile(ours, 0.99),
      bare: quantile(bare, 0.99),
    },
  ];
}

async function timed(work: () => Promise<void>): Promise<number> {
  const start = performance.now();
  await work();
  return performance.now() - start;
}

function growthRows(serials: readonly number[][], sizes: readonly number[]): Row[] {
  const [first, last] = [serials[0], serials.at(-1)];
  if (first === undefined || last === undefined || serials.length < 2) return [];
  return [0.5, 0.99].map((share) => ({
    name: `by serial, growth from ${sizes[0]} events, p${share * 100}`,
    ...({ unit: 'ms', kind: 'cost', baseline: 'ours at the smallest size' } as const),
    ours: quantile(last, share),
    bare: quantile(first, share),
    runs: lookups,
  }));
}

/** Eight stations, each a process with its outbox, write at a steady pace; what each event waited, the site tells. */
async function lagRow({ site, bare }: Loader): Promise<Row> {
  const program = resolve(import.meta.dirname, '../site/storm-station.ts');
  const stations = [];
  for (let index = 0; index < benches; index++) {
    const login = `lag-${index}`;
    await site.addBench(login);
    const folder = join(site.folder, login);
    mkdirSync(folder);
    writeSiteFile(folder, { url: site.url(login), passwordFile: site.passwordFile(login) });
    const words = [folder, login, '1', String(paceMilliseconds)];
    stations.push(fork(program, words, { stdio: ['ignore', 'ignore', 'inherit', 'ipc'] }));
  }
  await untilAllPush(bare);
  const { rows: begun } = await bare.query<{ now: Date }>('SELECT clock_timestamp() AS now');
  const inserts: number[] = [];
  const text = 'x'.repeat(1700);
  const until = performance.now() + lagSeconds * 1000;
  let sequence = 0;
  while (performance.now() < until) {
    const start = performance.now();
    sequence += 1;
    await bare.query({
      name: 'one',
      text: `INSERT INTO bare.event (period, chain_id, version, sequence, received_at, stream, kind, at, previous_hash, hash, body)
             VALUES ('2026-01-01', 99, 1, $1, now(), 'job/x', 'x', 'x', decode(repeat('00', 32), 'hex'), decode(repeat('00', 32), 'hex'), $2)`,
      values: [sequence, text],
    });
    inserts.push(performance.now() - start);
    await new Promise((done) => setTimeout(done, paceMilliseconds));
  }
  for (const station of stations) station.kill('SIGKILL');
  const { rows } = await bare.query<{ lag: number }>(
    `SELECT 1000 * extract(epoch FROM received_at - at::timestamptz)::float8 AS lag
     FROM bandwright.event JOIN bandwright.chain USING (chain_id)
     WHERE bench_id LIKE 'lag-%' AND received_at > $1 AND received_at < $1::timestamptz + $2 * interval '1 second'`,
    [begun[0]?.now, lagSeconds],
  );
  const lags = rows.map(({ lag }) => lag);
  const rate = lags.length / lagSeconds / benches;
  return {
    name: `from the commit at the bench to the site, ${benches} benches, p99`,
    ...({ unit: 'ms', kind: 'cost', baseline: 'INSERT of one row, p99' } as const),
    ours: quantile(lags, 0.99),
    bare: quantile(inserts, 0.99),
    runs: lags.length,
    note: `${rate.toFixed(1)} events/s at each bench; p50 ${median(lags).toFixed(0)} ms. The outbox looks every 50 ms whether something was written`,
  };
}

/** Until all stations are up and have caught up, however busy the machine is. */
async function untilAllPush(client: SiteClient): Promise<void> {
  for (let pushing = 0; pushing < benches; ) {
    await new Promise((done) => setTimeout(done, 1000));
    const { rows } = await client.query<{ pushing: string }>(
      "SELECT count(*) AS pushing FROM bandwright.chain WHERE bench_id LIKE 'lag-%'",
    );
    pushing = Number(rows[0]?.pushing);
  }
  await new Promise((done) => setTimeout(done, 10_000));
}

/** Run by itself: --events N, --minutes M. Prints what it has reached as it goes. */
if (import.meta.main) {
  const { values } = parseArgs({
    options: { events: { type: 'string', default: '10000000' }, minutes: { type: 'string', default: '60' } },
  });
  const target = Number(values.events);
  const sizes = [100_000, 1_000_000, 10_000_000].filter((size) => size < target);
  const say = (line: string) => process.stderr.write(`${new Date().toISOString()} ${line}\n`);
  process.stdout.write(`${tableOf(await siteRows([...sizes, target], Number(values.minutes), say))}\n`);
}
