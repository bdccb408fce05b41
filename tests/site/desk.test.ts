import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inventedSerial } from '../../electron/station/audit/invented-job.ts';
import { traceOfLot } from '../../electron/station/audit/lot-trace.ts';
import { createReadingRoom, type ReadingRoom } from '../../electron/station/audit/reading-room.ts';
import { exportSiteReadings } from '../../electron/station/site/site-export.ts';
import { openEvidence } from '../../electron/station/store/open-store.ts';
import type { SearchPageView } from '../../shared/audit/view.ts';
import type { LotEvent } from '../../shared/consumable/lot.ts';
import type { CallResults } from '../../shared/contract.ts';
import { readingLineSchema } from '../../shared/evidence/reading-line.ts';
import type { Result } from '../../shared/result.ts';
import { writeInventedJobsAtOnce } from '../station/store/bench.ts';
import { AskedDesk } from './asked-desk.ts';
import { SiteBench, withStore } from './site-bench.ts';

let site: SiteBench;
let asked: AskedDesk;
let desk: AskedDesk['desk'];
let news: AskedDesk['news'];
let own: ReadingRoom;

beforeAll(async () => {
  site = await SiteBench.start();
  for (const name of ['one', 'two']) {
    await site.addBench(`bench-${name}`);
    const folder = site.stationFolder(name);
    withStore(folder, (store) => writeInventedJobsAtOnce(store, 70, name === 'one' ? 1 : 41));
    await site.push(folder, `bench-${name}`);
  }
  own = createReadingRoom(site.stationFolder('one'));
  asked = deskOf('auditor');
  ({ desk, news } = asked);
}, 60_000);
afterAll(async () => {
  await own.close();
  await desk.close();
  await site.end();
});

const deskOf = (login: string) => new AskedDesk(site, login);

const call: AskedDesk['call'] = (name, parameters) => asked.call(name, parameters);

async function until<Value>(look: () => Value | undefined): Promise<Value> {
  for (;;) {
    const value = look();
    if (value !== undefined) return value;
    await new Promise((done) => setTimeout(done, 20));
  }
}

describe('the desk of a site', () => {
  it('shows a serial as the desk of its bench does, and says which bench that was', async () => {
    const serial = inventedSerial(3);
    const told = await own.ask('timeline', { serial });
    const here = await call('timeline', { serial });
    expect(here.visits.length).toBeGreaterThan(0);
    const ofOne = here.visits.filter(({ place }) => place?.benchId === 'bench-one');
    expect(ofOne.map(({ place: _, ...visit }) => visit)).toEqual(told.ok && told.value.visits);
    expect(ofOne[0]?.place).toMatchObject({ branch: 1, leftBehind: false });
  });

  it('shows the visits at several benches in one timeline, oldest first', async () => {
    // Jobs 41 to 70 were done at both.
    const { visits } = await call('timeline', { serial: inventedSerial(50) });
    expect(new Set(visits.map(({ place }) => place?.benchId))).toEqual(new Set(['bench-one', 'bench-two']));
    const opened = visits.map(({ openedAt }) => Date.parse(openedAt));
    expect(opened).toEqual(opened.toSorted((a, b) => a - b));
  });

  it('offers serials by their beginning, and of nothing typed the newest', async () => {
    const serial = inventedSerial(7);
    const found = await call('findSerials', { text: serial });
    expect(found.serials.map((one) => one.serial)).toContain(serial);
    const begin = serial.slice(0, 4);
    const some = await call('findSerials', { text: begin });
    expect(some.serials.every((one) => one.serial.startsWith(begin))).toBe(true);
    expect((await call('findSerials', { text: '' })).serials.length).toBe(50);
    expect((await call('findSerials', { text: 'none such' })).serials).toEqual([]);
  });

  it('finds by everything that a filter asks for what the benches find, page by page', async () => {
    const choices = await call('searchChoices', {});
    const at = await own.ask('searchChoices', {});
    expect(new Set(choices.heads)).toEqual(new Set(at.ok ? at.value.heads : []));
    const filters = [
      {},
      { headId: choices.heads[0] },
      { personId: choices.people[0]?.personId },
      { instrumentId: choices.instruments[0]?.instrumentId, quantity: 'torque' as const },
      { lotId: choices.lots[0] },
      { decision: 'fail' as const },
      { serial: inventedSerial(5) },
      { from: '2020-01-01', until: '2030-01-01' },
    ];
    const other = createReadingRoom(site.stationFolder('two'));
    for (const filter of filters) {
      const here: string[] = [];
      for (let before: number | null = null; ; ) {
        const page: CallResults['searchJobs'] = await call('searchJobs', { filter, before });
        here.push(...page.jobs.map(({ jobId, place }) => `${place?.benchId} ${jobId}`));
        before = page.before;
        if (before === null) break;
      }
      const there: string[] = [];
      for (const [bench, room] of [
        ['bench-one', own],
        ['bench-two', other],
      ] as const) {
        for (let before: number | null = null; ; ) {
          const page: Result<SearchPageView> = await room.ask('searchJobs', { filter, before });
          if (!page.ok) throw new Error(page.error.message);
          there.push(...page.value.jobs.map(({ jobId }) => `${bench} ${jobId}`));
          before = page.value.before;
          if (before === null) break;
        }
      }
      expect(here.toSorted(), JSON.stringify(filter)).toEqual(there.toSorted());
    }
    await other.close();
  });

  it('traces a lot to every job at every bench, as each bench traces it, with what its stock says', async () => {
    const [job = ''] = withStore(site.stationFolder('two'), (store) => {
      const jobs = store.jobsOfSerial(inventedSerial(50)).map(({ jobId }) => jobId);
      const about = { lotId: 'lot-1', at: '2026-03-01T08:00:00.000Z', personId: 'person-2' };
      const events: LotEvent[] = [
        {
          ...{ kind: 'lotReceived', ...about, consumableId: 'grease', name: { en: 'Grease', de: 'Fett' } },
          ...{ expiry: '2027-12-31', quantity: 400, unit: 'g', usableDaysAfterOpening: null, invented: true },
        },
        { kind: 'lotOpened', ...about },
        { kind: 'lotUsed', ...about, jobId: jobs[0] ?? '', stepId: 'grease', quantity: 12.5 },
        { kind: 'lotBlocked', ...about, reason: 'wrong label' },
      ];
      const kept = store.append({
        ...{ stream: 'lot/lot-1', expectedVersion: 0, personId: 'person-2' },
        events: events.map((event) => ({ kind: event.kind, body: event })),
      });
      if (!kept.ok) throw new Error(kept.error.message);
      return jobs;
    });
    await site.push(site.stationFolder('two'), 'bench-two');
    const { lots } = await call('siteLot', { lotId: 'lot-1' });
    expect(lots.map(({ place }) => [place.benchId, place.branch, place.leftBehind])).toEqual([
      ['bench-one', 1, false],
      ['bench-two', 1, false],
    ]);
    for (const [index, name] of ['one', 'two'].entries()) {
      const evidence = openEvidence(site.stationFolder(name));
      const told = traceOfLot(evidence, 'lot-1');
      evidence.close();
      expect(lots[index]?.jobs.length).toBe(70);
      expect({ lot: lots[index]?.lot, jobs: lots[index]?.jobs }).toEqual({
        lot: told?.lot,
        jobs: told?.jobs,
      });
    }
    expect(lots[0]?.lot).toBeNull();
    expect(lots[1]?.lot).toMatchObject({ received: 400, remaining: 387.5, blocked: 'wrong label' });
    expect(lots[1]?.jobs.find(({ jobId }) => jobId === job)?.uses).toMatchObject([{ quantity: 12.5 }]);
    expect(await call('siteLot', { lotId: 'none-such' })).toEqual({ lots: [], cut: false });
  });

  it('exports the readings of all benches, each with its bench, as its station writes them', async () => {
    const lines: string[] = [];
    await site.as('auditor', async (client) => {
      const asked = { format: 'jsonl', filter: { quantity: 'mass' }, style: 'iso' } as const;
      for await (const { text } of exportSiteReadings(client, asked)) lines.push(...text.split('\n'));
    });
    const readings = lines
      .filter((line) => line !== '')
      .map((line) => readingLineSchema.parse(JSON.parse(line)));
    const count = await site.count("SELECT count(*) FROM bandwright.capture WHERE quantity = 'mass'");
    expect(readings.length).toBe(count);
    expect(new Set(readings.map(({ benchId }) => benchId))).toEqual(new Set(['bench-one', 'bench-two']));
    const exported = spawnSync(process.execPath, [
      join(import.meta.dirname, '../../electron/station/command-line.ts'),
      ...['export', 'jsonl', '--quantity', 'mass', '--data', site.stationFolder('one')],
    ]).stdout.toString();
    const here = lines
      .filter((line) => line.includes('"benchId":"bench-one"'))
      .map((line) => {
        const { benchId: _, stationId: __, branch: ___, leftBehind: ____, ...reading } = JSON.parse(line);
        return reading;
      });
    const there = exported
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));
    const inOrder = (one: { hash: string }, two: { hash: string }) => one.hash.localeCompare(two.hash);
    expect(here.toSorted(inOrder)).toEqual(there.toSorted(inOrder));
  });

  it('makes a file that the screen can fetch, and a PDF of a serial', async () => {
    const { exportId } = await call('startExport', { format: 'csv', filter: {}, language: 'de' });
    await until(() => news.find((one) => one.news === 'export' && one.progress.state === 'ready'));
    const ready = desk.exports.find('auditor', exportId);
    const text = readFileSync(ready?.path ?? '', 'utf8');
    expect(text.split('\r\n')[0]).toMatch(/^bench;station;branch;left_behind;serial;/);
    const serial = inventedSerial(50);
    expect((await call('serialDocument', { serial, language: 'en' })).url).toContain('.pdf');
    const pdf = await desk.makeDocument({ kind: 'history', serial, language: 'en' });
    expect(
      Buffer.from(pdf ?? [])
        .subarray(0, 5)
        .toString(),
    ).toBe('%PDF-');
  });

  it('verifies a chain with progress, and stops when asked to', async () => {
    const { chains } = await call('siteChains', {});
    expect(chains.map(({ benchId, branch, leftBehind }) => [benchId, branch, leftBehind])).toEqual([
      ['bench-one', 1, false],
      ['bench-two', 1, false],
    ]);
    const [chain] = chains;
    await call('verify', { chainId: chain?.chainId });
    const end = await until(() => news.find((one) => one.news === 'verify' && one.progress.finished));
    expect(end).toMatchObject({
      progress: { intact: true, total: chain?.events, site: { chainId: chain?.chainId }, problems: [] },
    });
    news.length = 0;
    await call('verify', { chainId: chains[1]?.chainId });
    await call('stopVerify', {});
    const stopped = await until(() => news.find((one) => one.news === 'verify' && one.progress.stopped));
    expect(stopped).toMatchObject({ progress: { finished: false, intact: null } });
  });

  it('tells what a forked station left behind', async () => {
    const { backup, common } = await site.forkStation('three', 'bench-three', 901);
    await site.settle('bench-three', 'station-of-three', common);
    await site.push(backup, 'bench-three');
    const { visits } = await call('timeline', { serial: inventedSerial(902) });
    expect(visits.map(({ place }) => place)).toMatchObject([{ branch: 1, leftBehind: true }]);
    const { jobs } = await call('searchJobs', { filter: { serial: inventedSerial(902) }, before: null });
    expect(jobs.map(({ place }) => place?.leftBehind)).toEqual([true]);
    const { lots } = await call('siteLot', { lotId: 'lot-2' });
    expect(lots.map(({ place, jobs }) => [place.leftBehind, jobs.map(({ serial }) => serial)])).toEqual([
      [false, [inventedSerial(901), inventedSerial(903)]],
      [true, [inventedSerial(902)]],
    ]);
    const { chains } = await call('siteChains', {});
    const ofThree = chains.filter(({ benchId }) => benchId === 'bench-three');
    expect(ofThree.map(({ branch, leftBehind }) => [branch, leftBehind])).toEqual([
      [1, true],
      [2, false],
    ]);
  });

  it('writes nothing: no call changes anything, and the server refuses a login that may write', async () => {
    const command = { kind: 'writeNote', jobId: 'x', expectedVersion: 1, text: 'x' };
    expect(await asked.answer('command', { command })).toMatchObject({ refusal: { code: 'read_only' } });
    expect(await asked.answer('signIn', { personId: 'x', pin: '1' })).toMatchObject({
      refusal: { code: 'read_only' },
    });
    const { desk: owner } = deskOf('site_administrator');
    await expect(
      owner.line.ask((client) => client.query('CREATE TABLE bandwright.mine (x int)')),
    ).rejects.toThrow(/read-only/);
    await owner.close();
  });

  it('says in its picture what stands in the way, and goes on when it is gone', async () => {
    const { desk: bench } = deskOf('bench-one');
    await bench.line.look();
    expect(bench.snapshot('0').faults.map(({ code }) => code)).toEqual(['site_no_right']);
    await bench.close();

    await site.asAdministrator((client) =>
      client.query('INSERT INTO bandwright.migration (version) VALUES (99)'),
    );
    const late = deskOf('auditor');
    expect(await late.answer('findSerials', { text: '' })).toMatchObject({
      fault: { code: 'site_other_schema' },
    });
    expect(late.desk.snapshot('0').faults.map(({ code }) => code)).toEqual(['site_other_schema']);
    await site.asAdministrator((client) =>
      client.query('DELETE FROM bandwright.migration WHERE version = 99'),
    );
    await late.desk.line.look();
    expect(late.desk.snapshot('0').faults).toEqual([]);
    await late.desk.close();

    await site.server.stop('immediate');
    expect(await asked.answer('findSerials', { text: '' })).toMatchObject({
      fault: { code: 'site_unreachable' },
    });
    expect(desk.snapshot('0').faults.map(({ code }) => code)).toEqual(['site_unreachable']);
    await site.server.start();
    await desk.line.look();
    expect(desk.snapshot('0').faults).toEqual([]);
    expect(asked.bugs).toEqual([]);
  });
});
