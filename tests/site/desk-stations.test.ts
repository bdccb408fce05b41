import { execFileSync, spawnSync } from 'node:child_process';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { AuditDesk } from '../../electron/station/audit/audit-desk.ts';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { inventedSerial } from '../../electron/station/audit/invented-job.ts';
import { tarOfFolder } from '../../electron/station/audit/tar.ts';
import type { ImpactProgress, ImpactReportView, ImpactWish } from '../../shared/audit/impact-view.ts';
import type { News } from '../../shared/contract.ts';
import {
  foundCertificate,
  foundHash,
  goodCertificate,
  wrenchCertified,
  wrenchRegistered,
} from '../station/invented-wrench.ts';
import { temporaryFolder, writeInventedJobsAtOnce } from '../station/store/bench.ts';
import { AskedDesk } from './asked-desk.ts';
import { SiteBench, withStore } from './site-bench.ts';

// Stations one and two have the same wrench with the same certificate; "three" calls another wrench by the same name,
// with a certificate of its own; "four" used the wrench of the first two, and went on from an older backup.
const good = goodCertificate('2026-01-05');
const found = foundCertificate('2026-04-01');
const jobs = { one: [40, 1], two: [30, 31], three: [10, 901] } as const;
const stationOf = (name: keyof typeof jobs) => `station-of-${name}`;

let site: SiteBench;
let asked: AskedDesk;
let one: AuditDesk;

beforeAll(async () => {
  site = await SiteBench.start();
  for (const [name, [count, first]] of Object.entries(jobs)) {
    await site.addBench(`bench-${name}`);
    withStore(site.stationFolder(name), (store) => {
      const shared = putInventedDocuments(store).wrenchCertificateHash;
      const wrenchCertificateHash =
        name === 'three'
          ? store.putDocument('certificate', { invented: true, number: 'INV-wrench-3' })
          : shared;
      const events = [
        wrenchRegistered({ kind: 'relative', fraction: 0.01 }),
        wrenchCertified(good, wrenchCertificateHash),
        wrenchCertified(found, foundHash),
      ];
      const kept = store.append({
        ...{ stream: 'instrument/wrench-1', expectedVersion: 0, personId: 'cedar' },
        events: events.map((event) => ({ kind: event.kind, body: event })),
      });
      if (!kept.ok) throw new Error(kept.error.message);
      writeInventedJobsAtOnce(store, count, first, { wrenchCertificateHash });
    });
    await site.push(site.stationFolder(name), `bench-${name}`);
  }
  const { backup, common } = await site.forkStation('four', 'bench-four', 951);
  await site.settle('bench-four', 'station-of-four', common);
  await site.push(backup, 'bench-four');
  asked = new AskedDesk(site, 'auditor');
  one = deskOfStation('one');
}, 60_000);
afterAll(async () => {
  expect(asked.bugs).toEqual([]);
  await one.close();
  await asked.desk.close();
  await site.end();
});

function deskOfStation(name: keyof typeof jobs): AuditDesk {
  return new AuditDesk({
    dataFolder: site.stationFolder(name),
    wallTime: () => '2026-11-27T10:00:00.000+00:00',
    onBug: (error) => asked.bugs.push(error),
  });
}

const wish: ImpactWish = { instrumentId: 'wrench-1', certificateHash: foundHash, language: 'en' };

/** As the desk of the station itself judges its captures again. */
async function judgedAt(name: keyof typeof jobs): Promise<ImpactReportView> {
  const desk = deskOfStation(name);
  try {
    const progress = await new Promise<ImpactProgress>((done) => {
      desk.startImpact('flint', wish, (told) => told.state !== 'running' && done(told));
    });
    if (progress.report === null) throw new Error(String(progress.message));
    return progress.report;
  } finally {
    await desk.close();
  }
}

function serialsAt(report: ImpactReportView | null, bench: string): readonly string[] {
  return (report?.captures ?? []).flatMap(({ serial, place }) => (place?.benchId === bench ? [serial] : []));
}

const isEndOfImpact = (told: News): told is Extract<News, { news: 'impact' }> =>
  told.news === 'impact' && told.progress.state !== 'running';
const isEndOfExport = (told: News): told is Extract<News, { news: 'export' }> =>
  told.news === 'export' && told.progress.state !== 'running';

describe('the desk of a site, about one station', () => {
  it('charts its readings as its own desk does, whatever the filter asks for', async () => {
    const choices = await one.readingRoom.ask('searchChoices', {});
    if (!choices.ok) throw new Error(choices.error.message);
    const { heads, people, lots } = choices.value;
    const filters = [
      { quantity: 'mass' },
      { quantity: 'torque', headId: heads[0] },
      { quantity: 'torque', personId: people[0]?.personId ?? 'person-1' },
      { quantity: 'mass', lotId: lots[0] },
      { quantity: 'torque', certificate: 'INV-wrench-1', instrumentId: 'wrench-1' },
      { quantity: 'mass', from: '2026-03-02', until: '2026-03-02' },
      { quantity: 'mass', serial: 'none such' },
    ] as const;
    for (const filter of filters) {
      for (const last of [5, 100]) {
        const chart = { filter, last, rules: 'Nelson' } as const;
        const own = await one.readingRoom.ask('processChart', chart);
        const here = await asked.call('processChart', { ...chart, stationId: stationOf('one') });
        expect(here, JSON.stringify(chart)).toEqual(own.ok && own.value);
      }
    }
  });

  it('leaves out of a chart what its station went on without', async () => {
    const chart = { filter: { quantity: 'mass' }, last: 100, rules: 'Nelson' } as const;
    const { points } = await asked.call('processChart', { ...chart, stationId: 'station-of-four' });
    const serials = points.map(({ serial }) => serial);
    expect(serials).toContain(inventedSerial(951));
    expect(serials).toContain(inventedSerial(953));
    expect(serials).not.toContain(inventedSerial(952));
  });

  it('tells its calibrated instruments and their checks as its own desk does', async () => {
    const own = await one.readingRoom.ask('calibratedInstruments', {});
    expect(await asked.call('calibratedInstruments', { stationId: stationOf('one') })).toEqual(
      own.ok && own.value,
    );
    const checks = await one.readingRoom.ask('checkChart', { instrumentId: 'wrench-1' });
    expect(await asked.call('checkChart', { instrumentId: 'wrench-1', stationId: stationOf('one') })).toEqual(
      checks.ok && checks.value,
    );
  });

  it('asks for a station, and says when the site has no such one', async () => {
    const chart = { filter: { quantity: 'mass' } };
    expect(await asked.answer('processChart', chart)).toMatchObject({ refusal: { code: 'station_missing' } });
    expect(await asked.answer('startImpact', wish)).toMatchObject({ refusal: { code: 'station_missing' } });
    expect(await asked.answer('processChart', { ...chart, stationId: 'x' })).toMatchObject({
      refusal: { code: 'station_unknown' },
    });
  });
});

describe('an instrument found out of tolerance, asked at the site', () => {
  it('touches every bench that took readings with its certificates, and no other of the same name', async () => {
    const [here, there] = [await judgedAt('one'), await judgedAt('two')];
    await asked.call('startImpact', { ...wish, stationId: stationOf('one') });
    const { progress } = await asked.heard(isEndOfImpact);
    // 40 jobs, 30, and of the station with two branches the one before it forked and one in each.
    expect(progress).toMatchObject({ state: 'ready', done: 73, total: 73 });
    const { report } = progress;
    expect(report).toMatchObject({
      certificateNumber: 'FOUND-2',
      lastGoodCalibration: { number: 'GOOD-1' },
      judged: here.judged + there.judged + 3,
      omitted: 0,
    });
    expect(here.changed).toBeGreaterThan(0);
    const countOf = ({ judged, changed, unknown }: ImpactReportView) => ({ judged, changed, unknown });
    expect(report?.stations?.slice(0, 2)).toEqual([
      { benchId: 'bench-one', stationId: stationOf('one'), ...countOf(here) },
      { benchId: 'bench-two', stationId: stationOf('two'), ...countOf(there) },
    ]);
    expect(report?.stations?.slice(2)).toMatchObject([{ benchId: 'bench-four', judged: 3 }]);
    expect(new Set(report?.serials)).toEqual(
      new Set([...here.serials, ...there.serials, ...serialsAt(report, 'bench-four')]),
    );
    const ofTwo = report?.captures.filter(({ place }) => place?.benchId === 'bench-two') ?? [];
    expect(ofTwo.map(({ place: _, ...capture }) => capture)).toEqual(there.captures);
    const file = readFileSync(asked.desk.exports.find('auditor', progress.exportId)?.path ?? '', 'utf8');
    const lines = file.trim().split('\n');
    expect(lines[0]).toMatch(/^bench,station,branch,left_behind,serial,/);
    expect(lines.filter((line) => line.startsWith('bench-two,')).length).toBe(there.judged);
    expect(lines.filter((line) => line.startsWith('bench-four,station-of-four,1,true,')).length).toBe(1);
    expect(lines.length).toBe(1 + 73);
  });

  it('is stopped by whoever started it, and leaves no file', async () => {
    asked.news.length = 0;
    const { exportId } = await asked.call('startImpact', { ...wish, stationId: stationOf('three') });
    await asked.call('stopExport', { exportId });
    expect((await asked.heard(isEndOfImpact)).progress).toMatchObject({ state: 'stopped', report: null });
    expect(asked.desk.exports.find('auditor', exportId)).toBeUndefined();
  });

  it('says what the register of that station does not have', async () => {
    asked.news.length = 0;
    await asked.call('startImpact', {
      ...wish,
      certificateHash: '11'.repeat(32),
      stationId: stationOf('one'),
    });
    expect((await asked.heard(isEndOfImpact)).progress).toMatchObject({
      state: 'failed',
      message: 'This instrument has no such certificate.',
    });
  });
});

describe('the signed bundle of a serial, made at the site', () => {
  it('has a bundle of each station that had it, each intact by its own verifier', async () => {
    // Jobs 31 to 40 were done at both.
    const serial = inventedSerial(35);
    asked.news.length = 0;
    const { exportId } = await asked.call('startExport', {
      format: 'bundle',
      filter: { serial },
      language: 'en',
    });
    expect((await asked.heard(isEndOfExport)).progress.state).toBe('ready');
    const ready = asked.desk.exports.find('auditor', exportId);
    const out = temporaryFolder();
    const pieces: Buffer[] = [];
    for await (const piece of tarOfFolder(ready?.path ?? '', 'bundle').chunks()) pieces.push(piece);
    writeFileSync(join(out, 'bundle.tar'), Buffer.concat(pieces));
    execFileSync('tar', ['-xf', 'bundle.tar'], { cwd: out });
    const folders = readdirSync(join(out, 'bundle'));
    expect(folders.map((name) => name.replace(/-\d+$/, ''))).toEqual(['bench-one', 'bench-two']);
    for (const [index, name] of (['one', 'two'] as const).entries()) {
      const folder = join(out, 'bundle', folders[index] ?? '');
      const { status, stdout } = spawnSync(process.execPath, [join(folder, 'verify.mjs')], {
        encoding: 'utf8',
        env: {},
      });
      expect([status, stdout.split('\n')[0]]).toEqual([0, expect.stringMatching(/^intact: \d+ records/)]);
      // As the station's own command writes it.
      const own = join(out, name);
      const command = join(import.meta.dirname, '../../electron/station/command-line.ts');
      const words = ['export', 'bundle', '--serial', serial, '--out', own];
      execFileSync(process.execPath, [command, ...words, '--data', site.stationFolder(name)]);
      for (const file of ['records.jsonl', 'events.jsonl', 'documents.jsonl'])
        expect(readFileSync(join(folder, file), 'utf8'), file).toBe(readFileSync(join(own, file), 'utf8'));
      const manifest = (of: string) => {
        const { at: _, filter: __, ...rest } = JSON.parse(readFileSync(join(of, 'bundle.json'), 'utf8'));
        return rest;
      };
      expect(manifest(folder)).toEqual(manifest(own));
    }
  });

  it('has what a station left behind as a bundle of its own', async () => {
    asked.news.length = 0;
    const serial = inventedSerial(952);
    const { exportId } = await asked.call('startExport', {
      format: 'bundle',
      filter: { serial },
      language: 'en',
    });
    expect((await asked.heard(isEndOfExport)).progress.state).toBe('ready');
    const path = asked.desk.exports.find('auditor', exportId)?.path ?? '';
    const [folder = '', ...more] = readdirSync(path);
    expect(more).toEqual([]);
    const { status } = spawnSync(process.execPath, [join(path, folder, 'verify.mjs')], { env: {} });
    expect(status).toBe(0);
  });

  it('is refused without a serial, with more than a serial, and for one that never came', async () => {
    const serial = inventedSerial(35);
    for (const asking of [
      { filter: {} },
      { filter: { serial, quantity: 'mass' } },
      { filter: { serial }, chainId: 1 },
    ])
      expect(
        await asked.answer('startExport', { format: 'bundle', ...asking, language: 'en' }),
      ).toMatchObject({
        refusal: { code: 'bundle_of_serial' },
      });
    asked.news.length = 0;
    await asked.call('startExport', { format: 'bundle', filter: { serial: 'none such' }, language: 'en' });
    expect((await asked.heard(isEndOfExport)).progress).toMatchObject({
      state: 'failed',
      message: 'This serial was never here; check it.',
    });
  });
});

describe('the signed bundle of a whole chain, made at the site', () => {
  async function bundleOf(chainId: number | undefined) {
    asked.news.length = 0;
    await asked.call('startExport', { format: 'bundle', filter: {}, language: 'en', chainId });
    return (await asked.heard(isEndOfExport)).progress;
  }

  it('is the bundle that the station itself writes, and intact by its own verifier', async () => {
    const { chains } = await asked.call('siteChains', {});
    const chain = chains.find(({ benchId }) => benchId === 'bench-two');
    const progress = await bundleOf(chain?.chainId);
    expect(progress).toMatchObject({ state: 'ready', done: 2 * (chain?.events ?? 0), message: null });
    const path = asked.desk.exports.find('auditor', progress.exportId)?.path ?? '';
    const { status, stdout } = spawnSync(process.execPath, [join(path, 'verify.mjs')], {
      encoding: 'utf8',
      env: {},
    });
    expect([status, stdout.split('\n')[0]]).toEqual([0, expect.stringMatching(/^intact: 30 records/)]);
    const own = join(temporaryFolder(), 'own');
    const command = join(import.meta.dirname, '../../electron/station/command-line.ts');
    execFileSync(process.execPath, [
      ...[command, 'export', 'bundle', '--out', own, '--data', site.stationFolder('two')],
    ]);
    expect(readdirSync(path)).toEqual(readdirSync(own));
    for (const file of readdirSync(own).filter((name) => name !== 'bundle.json'))
      expect(readFileSync(join(path, file), 'utf8'), file).toBe(readFileSync(join(own, file), 'utf8'));
    // Nothing of the copy is left beside it.
    expect(readdirSync(join(path, '..'))).toEqual(['bundle']);
  });

  it('is of a branch that its station left behind, too', async () => {
    const { chains } = await asked.call('siteChains', {});
    const older = chains.find(({ leftBehind }) => leftBehind);
    const progress = await bundleOf(older?.chainId);
    const path = asked.desk.exports.find('auditor', progress.exportId)?.path ?? '';
    expect(spawnSync(process.execPath, [join(path, 'verify.mjs')], { env: {} }).status).toBe(0);
    expect(readFileSync(join(path, 'events.jsonl'), 'utf8')).toContain(inventedSerial(952));
  });

  it('says when the site has no such chain', async () => {
    expect(await bundleOf(9999)).toMatchObject({
      state: 'failed',
      message: expect.stringContaining('no such chain'),
    });
  });
});
