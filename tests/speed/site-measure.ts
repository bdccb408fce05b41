import { chanceOf } from '../../electron/station/audit/invented-job.ts';
import { visitAsJson } from '../../electron/station/audit/timeline.ts';
import type { ChainPiece } from '../../electron/station/site/local-chain.ts';
import { connectSite, type SiteClient } from '../../electron/station/site/site-client.ts';
import { readSiteVisits } from '../../electron/station/site/site-serial.ts';
import { eventArrays, sealArrays } from '../../electron/station/site/site-session.ts';
import type { SiteBench } from '../site/site-bench.ts';
import { loadText, quantile, type Row, rowOf, tableOf } from './row.ts';
import { lagRows } from './site-lag.ts';
import {
  benches,
  chainOf,
  type Loaded,
  loadedSerial,
  pushPiece,
  readLoaded,
  type Say,
  startStore,
} from './site-store.ts';

const lookups = 4000;
const pushTurns = 20;

/** A filled store, its server running. */
interface Store {
  /** How much is there, for a table. */
  readonly size: string;
  readonly site: SiteBench;
  readonly loaded: Loaded;
  readonly bare: SiteClient;
  readonly auditor: SiteClient;
}

/**
 * Measures stores that `loadStore` left: pushing; one serial across all benches, at all stores by turns; what a record
 * waits until it is at the site.
 *
 * @param folders the smallest store first
 */
export async function measureStores(folders: readonly string[], say: Say): Promise<Row[]> {
  const run = Date.now().toString(36);
  const stores: Store[] = [];
  const rows: Row[] = [];
  const add = (more: readonly Row[]) => {
    rows.push(...more);
    say(`load ${loadText()}\n${tableOf(more)}`);
  };
  try {
    for (const folder of folders) stores.push(await openStore(folder));
    add(await bySerialRows(stores));
    for (const store of stores) add([await pushRow(store, run)]);
    for (const { size, site, bare } of stores) add(await lagRows(site, bare, size, run));
  } finally {
    for (const { site, bare, auditor } of stores) {
      await bare.end();
      await auditor.end();
      await site.end();
    }
  }
  return rows;
}

async function openStore(folder: string): Promise<Store> {
  const loaded = readLoaded(folder);
  const site = await startStore(folder);
  const bare = await connectSite(site.access('site_administrator'));
  // The same columns with their primary keys, and nothing else: no checks, no index, no partition.
  await bare.query(`DROP SCHEMA IF EXISTS bare CASCADE; CREATE SCHEMA bare;
    CREATE TABLE bare.event (LIKE bandwright.event); ALTER TABLE bare.event ADD PRIMARY KEY (chain_id, sequence);
    CREATE TABLE bare.seal (LIKE bandwright.seal); ALTER TABLE bare.seal ADD PRIMARY KEY (chain_id, sequence);
    CREATE TABLE bare.record (LIKE bandwright.record); ALTER TABLE bare.record ADD PRIMARY KEY (chain_id, sequence)`);
  const auditor = await connectSite(site.access('auditor'));
  return { size: loaded.events.toLocaleString('en').replaceAll(',', ' '), site, loaded, bare, auditor };
}

/** A bench that the store did not know pushes: its chain begins behind all that is there. */
async function pushRow({ site, bare, loaded, size }: Store, run: string): Promise<Row> {
  const name = `push-${run}`;
  await site.addBench(name);
  const session = await site.session(name);
  const chain = chainOf(name, 0, loaded.jobs[0] ?? 0);
  const [ours, plain]: [number[], number[]] = [[], []];
  for (let turn = -2; turn < pushTurns; turn++) {
    const { milliseconds, piece } = await pushPiece(chain, session);
    const bareMilliseconds = await timed(() => insertBare(bare, piece));
    if (turn < 0) continue;
    ours.push(piece.events.length / (milliseconds / 1000));
    plain.push(piece.events.length / (bareMilliseconds / 1000));
  }
  await session.close();
  const about = {
    unit: 'events/s',
    kind: 'slowdown',
    baseline: 'INSERT of the same rows into plain tables',
  } as const;
  return rowOf({ name: `push, ${size} events there`, ...about }, ours, plain);
}

async function insertBare(client: SiteClient, { events, seals, records }: ChainPiece): Promise<void> {
  await client.query('BEGIN');
  await client.query(
    `INSERT INTO bare.event (period, chain_id, received_at, sequence, stream, version, kind, at, person_id, body, previous_hash, hash)
     SELECT '2026-01-01', 1, now(), * FROM unnest($1::bigint[], $2::text[], $3::integer[], $4::text[], $5::text[], $6::text[], $7::text[], $8::bytea[], $9::bytea[])`,
    eventArrays(events),
  );
  await client.query(
    `INSERT INTO bare.seal (period, chain_id, sequence, stream, key_id, signature, link)
     SELECT '2026-01-01', 1, * FROM unnest($1::bigint[], $2::text[], $3::text[], $4::bytea[], $5::bytea[])`,
    sealArrays(seals),
  );
  const signed = events.filter(({ kind }) => kind === 'recordSigned');
  await client.query(
    `INSERT INTO bare.record (period, chain_id, revision, job_id, serial, key_id, signature, sequence, hash, body)
     SELECT '2026-01-01', 1, 1, 'job', 'serial', 'key', decode(repeat('00', 64), 'hex'), * FROM unnest($1::bigint[], $2::bytea[], $3::text[])`,
    [signed.map(({ sequence }) => sequence), signed.map(({ hash }) => hash), records],
  );
  await client.query('COMMIT');
}

const bareVisit = `SELECT e.* FROM bandwright.job j JOIN bandwright.event e
  ON e.period = j.period AND e.chain_id = j.chain_id AND e.stream = 'job/' || j.job_id
  WHERE j.serial = $1 ORDER BY e.chain_id, e.sequence`;
const bareRecord = `SELECT r.* FROM bandwright.job j JOIN bandwright.record r
  ON r.period = j.period AND r.chain_id = j.chain_id AND r.job_id = j.job_id WHERE j.serial = $1`;

/** Milliseconds at a store: of whoever looked first at a serial, and of looks at what the other has just read. */
interface Looks {
  readonly first: number[];
  readonly second: number[];
}

async function bySerialRows(stores: readonly Store[]): Promise<Row[]> {
  const looks = stores.map(() => ({
    ours: { first: [], second: [] } as Looks,
    bare: { first: [], second: [] } as Looks,
  }));
  for (let round = -50; round < lookups; round++) {
    for (const [index, store] of stores.entries()) {
      const kept = looks[index];
      if (kept === undefined) continue;
      const serial = someSerial(store, round + 1000);
      // Which comes first finds the pages cold: by turns.
      const inOrder = round % 2 === 0 ? (['ours', 'bare'] as const) : (['bare', 'ours'] as const);
      const [one, other] = inOrder;
      const milliseconds = [await look[one](store, serial), await look[other](store, serial)] as const;
      if (round < 0) continue;
      kept[one].first.push(milliseconds[0]);
      kept[other].second.push(milliseconds[1]);
    }
  }
  const rows: Row[] = [];
  for (const pass of ['first', 'second'] as const) {
    for (const share of [0.5, 0.99]) {
      const at = (figures: readonly number[]) => quantile(figures, share);
      const about = { unit: 'ms', kind: 'cost', runs: lookups / 2 } as const;
      const name = `by serial, ${pass} look, p${share * 100}`;
      for (const [index, { ours, bare }] of looks.entries()) {
        const size = stores[index]?.size;
        const figures = { ours: at(ours[pass]), bare: at(bare[pass]) };
        rows.push({
          name: `${name}, ${size} events`,
          ...about,
          ...figures,
          baseline: 'SELECT of the same rows',
        });
      }
      const [small, large] = [looks[0], looks.at(-1)];
      if (small === undefined || large === undefined || small === large) continue;
      rows.push(
        growth(`${name}: growth of ours`, at(large.ours[pass]), at(small.ours[pass])),
        growth(`${name}: growth of bare`, at(large.bare[pass]), at(small.bare[pass])),
      );
    }
  }
  return rows;
}

function growth(name: string, large: number, small: number): Row {
  const about = { unit: 'ms', kind: 'cost', baseline: 'the same at the smallest store' } as const;
  return { name, ...about, ours: large, bare: small, runs: lookups / 2 };
}

function someSerial({ loaded }: Store, round: number): string {
  const bench = round % benches;
  return loadedSerial(bench, Math.floor(chanceOf(round, loaded.events) * (loaded.jobs[bench] ?? 0)));
}

const look = {
  ours: ({ auditor }: Store, serial: string) =>
    timed(async () => {
      const { visits, close } = await readSiteVisits(auditor, serial);
      if (visits.map(({ reader, visit }) => visitAsJson(reader, visit)).length === 0)
        throw new Error(`${serial} is not there`);
      close();
    }),
  bare: ({ auditor }: Store, serial: string) =>
    timed(async () => {
      await auditor.query({ name: 'visit', text: bareVisit, values: [serial] });
      await auditor.query({ name: 'record', text: bareRecord, values: [serial] });
    }),
};

async function timed(work: () => Promise<void>): Promise<number> {
  const start = performance.now();
  await work();
  return performance.now() - start;
}
