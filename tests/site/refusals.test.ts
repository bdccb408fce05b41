import { cpSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ChainPiece, LocalEvent } from '../../electron/station/site/local-chain.ts';
import type { PushAnswer } from '../../electron/station/site/site-session.ts';
import { sha256 } from '../../electron/station/store/sha256.ts';
import { openSqlite } from '../../electron/station/store/sqlite.ts';
import { eventHash } from '../../shared/evidence/chain.ts';
import { writeInventedJobs } from '../station/store/bench.ts';
import { SiteBench, withChain, withStore } from './site-bench.ts';

let site: SiteBench;
let folder: string;
let whole: ChainPiece;
const stationId = 'station-of-honest';

beforeAll(async () => {
  site = await SiteBench.start();
  await site.addBench('bench-1');
  folder = site.stationFolder('honest');
  withStore(folder, (store) => writeInventedJobs(store, 2));
  whole = pieceOf(folder);
});
afterAll(() => site.end());

function pieceOf(dataFolder: string): ChainPiece {
  return withChain(dataFolder, (chain) => chain.pieceAfter(0, { events: 10_000, bytes: 1e9 }))!;
}

/** Pushes as a client of somebody's own making does. */
async function push(piece: ChainPiece, of = stationId): Promise<PushAnswer> {
  const session = await site.session('bench-1');
  try {
    return await session.push(of, piece);
  } finally {
    await session.close();
  }
}

async function reasonOf(piece: ChainPiece, of = stationId): Promise<string> {
  const answer = await push(piece, of);
  return answer.accepted ? 'accepted' : answer.reason;
}

function withEvent(index: number, change: Partial<LocalEvent>): ChainPiece {
  return {
    ...whole,
    events: whole.events.map((event, at) => (at === index ? { ...event, ...change } : event)),
  };
}

/** The hash that the changed event would have. */
function hashed(event: LocalEvent): LocalEvent {
  const { person_id: personId, body: bodyText, previous_hash, ...rest } = event;
  const previousHash = Buffer.from(previous_hash).toString('hex');
  return {
    ...event,
    hash: Buffer.from(eventHash({ ...rest, personId, bodyText, previousHash }, sha256), 'hex'),
  };
}

describe('a push that is not the chain of the station is refused by the server, by name', () => {
  const middle = 9;

  it.each<[string, string, () => ChainPiece]>([
    [
      'altered',
      'a value was changed',
      () => withEvent(middle, { body: whole.events[middle]!.body.replace('1', '2') }),
    ],
    ['altered', 'the person was changed', () => withEvent(middle, { person_id: 'somebody-else' })],
    ['altered', 'the time was changed', () => withEvent(middle, { at: '2020-01-01T00:00:00.000+00:00' })],
    [
      'broken_link',
      'a value was changed and the event hashed anew',
      () => {
        const { events } = whole;
        const forged = hashed({ ...events[middle]!, body: events[middle]!.body.replace('1', '2') });
        return { ...whole, events: events.with(middle, forged) };
      },
    ],
    [
      'reordered',
      'two events changed their places',
      () => ({
        ...whole,
        events: whole.events.with(middle, whole.events[middle + 1]!).with(middle + 1, whole.events[middle]!),
      }),
    ],
    ['gap', 'an event was left out', () => ({ ...whole, events: whole.events.toSpliced(middle, 1) })],
    ['gap', 'the beginning was left out', () => ({ ...whole, events: whole.events.slice(middle) })],
    ['truncated', 'the end was cut off', () => ({ ...whole, events: whole.events.slice(0, -2) })],
    ['truncated', 'the last seal was left out', () => ({ ...whole, seals: whole.seals.slice(0, -1) })],
    ['truncated', 'a record was left out', () => ({ ...whole, records: whole.records.slice(1) })],
    [
      'truncated',
      'a record was altered',
      () => ({ ...whole, records: whole.records.map((text) => text.replace('1', '2')) }),
    ],
    ['truncated', 'a document was left out', () => ({ ...whole, documents: whole.documents.slice(1) })],
    [
      'broken_seal',
      'a seal was forged',
      () => ({
        ...whole,
        seals: whole.seals.with(3, { ...whole.seals[3]!, signature: Buffer.alloc(64, 7) }),
      }),
    ],
    [
      'broken_seal',
      'a seal in the middle was left out',
      () => ({ ...whole, seals: whole.seals.toSpliced(3, 1) }),
    ],
    ['malformed', 'nothing is in it', () => ({ events: [], seals: [], documents: [], records: [] })],
  ])('%s: %s', async (reason, _, make) => {
    expect(await reasonOf(make())).toBe(reason);
    expect(await site.count('SELECT count(*) FROM bandwright.event')).toBe(0);
    expect(await site.count('SELECT count(*) FROM bandwright.document')).toBe(0);
  });

  it('keeps each refusal for whoever watches the site', async () => {
    const before = await site.count("SELECT count(*) FROM bandwright.refused_push WHERE reason = 'gap'");
    await reasonOf({ ...whole, events: whole.events.slice(4) });
    const gaps = "SELECT count(*) FROM bandwright.refused_push WHERE reason = 'gap' AND login = 'bench-1'";
    expect(await site.count(gaps)).toBe(before + 1);
  });
});

describe('once the chain is at the site', () => {
  it('takes the honest chain after all those tries', async () => {
    expect(await push(whole)).toEqual({ accepted: true, sequence: whole.events.length });
  });

  it('fork: another history of the same station, with every hash made anew, is refused', async () => {
    const copy = site.stationFolder('rewritten');
    cpSync(folder, copy, { recursive: true });
    const database = openSqlite(`${copy}/station.sqlite`, {});
    for (const { name } of database
      .prepare<[], { name: string }>("SELECT name FROM sqlite_schema WHERE type = 'trigger'")
      .all())
      database.exec(`DROP TRIGGER ${name}`);
    let previous: Uint8Array = new Uint8Array(32);
    for (const event of whole.events) {
      const body = event.sequence === 12 ? event.body.replace('1', '2') : event.body;
      const { hash } = hashed({ ...event, body, previous_hash: Uint8Array.from(previous) });
      database
        .prepare('UPDATE event SET body = ?, previous_hash = ?, hash = ? WHERE sequence = ?')
        .run(body, previous, hash, event.sequence);
      previous = hash;
    }
    database.close();
    expect(await reasonOf(pieceOf(copy))).toBe('fork');
  });

  it('fork: what follows another end is refused', async () => {
    const copy = site.stationFolder('grown');
    cpSync(folder, copy, { recursive: true });
    withStore(folder, (store) => writeInventedJobs(store, 1, 3));
    withStore(copy, (store) => writeInventedJobs(store, 1, 4));
    await site.push(folder, 'bench-1');
    const { acknowledged: end } = (await site.push(folder, 'bench-1')) as { acknowledged: number };
    const other = withChain(copy, (chain) => chain.pieceAfter(end, { events: 100, bytes: 1e9 }));
    expect(other).toBeUndefined();
    withStore(copy, (store) => writeInventedJobs(store, 1, 5));
    const further = withChain(copy, (chain) => chain.pieceAfter(end, { events: 100, bytes: 1e9 }))!;
    expect(await reasonOf(further)).toBe('fork');
  });

  it('lets a bench read and write no table, and call nothing but what a bench needs', async () => {
    const denied = expect.objectContaining({ code: '42501' });
    await site.as('bench-1', async (client) => {
      for (const statement of [
        'SELECT * FROM bandwright.event',
        "INSERT INTO bandwright.bench (bench_id, login) VALUES ('x', 'x')",
        'DELETE FROM bandwright.event',
        "SELECT bandwright.settle('bench-1', 'x', 0, 'me', 'why')",
        'SELECT bandwright.take_documents(NULL, NULL, NULL, NULL, NULL)',
        'SET ROLE bandwright_owner',
      ])
        await expect(client.query(statement), statement).rejects.toEqual(denied);
    });
  });

  it('changes and removes nothing, whoever asks: the owner of the tables too', async () => {
    const refused = expect.objectContaining({ code: 'BW002' });
    await site.asAdministrator(async (client) => {
      for (const table of [
        'event',
        'seal',
        'record',
        'document',
        'job',
        'capture',
        'chain',
        'settlement',
        'refused_push',
      ]) {
        await expect(client.query(`DELETE FROM bandwright.${table}`), table).rejects.toEqual(refused);
        await expect(client.query(`TRUNCATE bandwright.${table} CASCADE`), table).rejects.toEqual(refused);
      }
      await expect(client.query("UPDATE bandwright.event SET kind = 'x'")).rejects.toEqual(refused);
      const { rows } = await client.query('SELECT tableoid::regclass AS part FROM bandwright.event LIMIT 1');
      await expect(client.query(`DELETE FROM ${rows[0].part}`)).rejects.toEqual(refused);
      await expect(client.query('UPDATE bandwright.chain_head SET sequence = 1')).rejects.toEqual(refused);
    });
  });
});
