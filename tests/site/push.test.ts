import { cpSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { setUpSite } from '../../electron/station/site/set-up.ts';
import { tickingClock, writeInventedJobs } from '../station/store/bench.ts';
import { SiteBench, withChain, withStore } from './site-bench.ts';

let site: SiteBench;
beforeAll(async () => {
  site = await SiteBench.start();
});
afterAll(() => site.end());

describe('the outbox', () => {
  it('brings the whole chain with records, documents and what finds them, and says so', async () => {
    await site.addBench('bench-1');
    const folder = site.stationFolder('one');
    const end = withStore(folder, (store) => {
      writeInventedJobs(store, 3);
      return store.lastSequence();
    });
    expect(await site.push(folder, 'bench-1')).toEqual({ state: 'up_to_date', acknowledged: end });
    expect(await site.count('SELECT count(*) FROM bandwright.event')).toBe(end);
    expect(await site.count('SELECT count(*) FROM bandwright.record')).toBe(3);
    expect(await site.count('SELECT count(*) FROM bandwright.document')).toBe(5);
    expect(await site.count('SELECT count(*) FROM bandwright.job')).toBe(3);
    expect(await site.count('SELECT count(*) FROM bandwright.capture')).toBe(6);
    expect(await site.count('SELECT count(*) FROM bandwright.consumption')).toBe(3);
    expect(await site.count("SELECT count(*) FROM bandwright.job_end WHERE phase = 'released'")).toBe(3);
  });

  it('goes on where it stopped, and repeats nothing', async () => {
    await site.addBench('bench-2');
    const folder = site.stationFolder('two');
    withStore(folder, (store) => writeInventedJobs(store, 1));
    await site.push(folder, 'bench-2');
    const end = withStore(folder, (store) => {
      writeInventedJobs(store, 2, 2);
      return store.lastSequence();
    });
    expect(await site.push(folder, 'bench-2')).toMatchObject({ state: 'up_to_date', acknowledged: end });
    expect(await site.push(folder, 'bench-2')).toMatchObject({ state: 'up_to_date', acknowledged: end });
    const session = await site.session('bench-2');
    // The acknowledgement was lost on the way: everything once more.
    const piece = withChain(folder, (chain) => chain.pieceAfter(0, { events: 1000, bytes: 1e9 }))!;
    expect(await session.push('station-of-two', piece)).toEqual({ accepted: true, sequence: end });
    await session.close();
    const own =
      'SELECT count(*) FROM bandwright.event JOIN bandwright.chain USING (chain_id) WHERE station_id = $1';
    expect(await site.count(own, ['station-of-two'])).toBe(end);
  });

  it('names a station that was restored from an older backup, and goes on as a branch once a person has decided', async () => {
    await site.addBench('bench-3');
    const folder = site.stationFolder('three');
    withStore(folder, (store) => writeInventedJobs(store, 2));
    const backup = site.stationFolder('three-backup');
    cpSync(folder, backup, { recursive: true });
    const common = withChain(folder, (chain) => chain.end());
    withStore(folder, (store) => writeInventedJobs(store, 1, 3));
    await site.push(folder, 'bench-3');
    const stationId = 'station-of-three';

    expect(await site.push(backup, 'bench-3')).toMatchObject({
      state: 'stopped',
      reason: 'fork',
      stationId,
      commonUpTo: common,
    });
    withStore(backup, (store) => writeInventedJobs(store, 1, 4));
    const stopped = await site.push(backup, 'bench-3');
    expect(stopped).toMatchObject({ state: 'stopped', reason: 'fork', commonUpTo: common });
    expect(await site.count("SELECT count(*) FROM bandwright.refused_push WHERE reason = 'fork'")).toBe(1);

    await site.settle('bench-3', stationId, common);
    const end = withChain(backup, (chain) => chain.end());
    expect(await site.push(backup, 'bench-3')).toEqual({ state: 'up_to_date', acknowledged: end });
    // Both branches stay, and the first one can go no further.
    withStore(folder, (store) => writeInventedJobs(store, 1, 5));
    expect(await site.push(folder, 'bench-3')).toMatchObject({
      state: 'stopped',
      reason: 'fork',
      commonUpTo: common,
    });
    const branches = 'SELECT count(*) FROM bandwright.chain WHERE station_id = $1';
    expect(await site.count(branches, [stationId])).toBe(2);
  });

  it('names a bench that was set up anew, and a data folder that was copied to another bench', async () => {
    await site.addBench('bench-4');
    await site.addBench('bench-5');
    const [first, second] = [site.stationFolder('four'), site.stationFolder('four-anew')];
    for (const folder of [first, second]) withStore(folder, (store) => writeInventedJobs(store, 1));
    await site.push(first, 'bench-4');
    expect(await site.push(second, 'bench-4')).toMatchObject({
      state: 'stopped',
      reason: 'another_chain',
      commonUpTo: 0,
    });
    expect(await site.push(first, 'bench-5')).toMatchObject({ state: 'stopped', reason: 'not_yours' });
    await site.asAdministrator((client) =>
      client.query('SELECT bandwright.settle($1, $2, 0, $3, $4)', [
        'bench-4',
        'station-of-four-anew',
        'Quill',
        'new disk',
      ]),
    );
    expect(await site.push(second, 'bench-4')).toMatchObject({ state: 'up_to_date' });
  });

  it('keeps what lies beyond the partitions, and takes new partitions beside it', async () => {
    await site.addBench('bench-6');
    const folder = site.stationFolder('six');
    // A clock that is years ahead, and one that is set right again.
    for (const [number, start] of [
      [61, Date.UTC(2031, 4, 20)],
      [62, Date.UTC(2026, 2, 2)],
    ] as const) {
      withStore(folder, (store) => writeInventedJobs(store, 1, number), tickingClock(start));
    }
    await site.push(folder, 'bench-6');
    expect(await site.count('SELECT count(*) FROM bandwright.event_else')).toBeGreaterThan(0);
    const extended = await site.asAdministrator((client) => setUpSite(client, '2026-01-01', '2032-01-01'));
    expect(extended.partitions).toBeGreaterThan(100);
    const late = { invented: true, name: 'late' };
    withStore(folder, (store) => store.putDocument('profile', late), tickingClock(Date.UTC(2031, 5, 20)));
    const end = withChain(folder, (chain) => chain.end());
    expect(await site.push(folder, 'bench-6')).toEqual({ state: 'up_to_date', acknowledged: end });
    expect(
      await site.count(
        "SELECT count(*) FROM bandwright.event WHERE tableoid = 'bandwright.event_2031_06'::regclass",
      ),
    ).toBeGreaterThan(0);
    const own =
      'SELECT count(*) FROM bandwright.event JOIN bandwright.chain USING (chain_id) WHERE station_id = $1';
    expect(await site.count(own, ['station-of-six'])).toBe(end);
  });
});
