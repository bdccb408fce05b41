import {
  chmodSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { lookForHidDevices } from '../../drivers/port/hid-devices.ts';
import type { PortLister } from '../../drivers/port/port-list.ts';
import { noteLastVerify } from '../../electron/station/audit/last-verify.ts';
import { listCrashReports, writeCrashReport } from '../../electron/station/crash-report.ts';
import { describeHealth, examine, type HealthReport } from '../../electron/station/health.ts';
import { type HealthParts, healthChecks } from '../../electron/station/health-checks.ts';
import { openLog } from '../../electron/station/log.ts';
import { readHead } from '../../electron/station/store/head-file.ts';
import { bandwright } from './commands/running.ts';
import { openTestStore, temporaryFolder, writeInventedJobs } from './store/bench.ts';

/** After the last event of the invented jobs. */
const at = '2027-01-15T10:00:00.000+01:00';
let folder: string;
beforeEach(() => {
  folder = temporaryFolder();
});

function examined(parts: Partial<HealthParts> = {}): Promise<HealthReport> {
  const listPorts: PortLister = async () => [];
  return examine(at, folder, healthChecks({ dataFolder: folder, at, listPorts, ...parts }));
}

async function findingOf(subject: string, parts: Partial<HealthParts> = {}) {
  const { findings } = await examined(parts);
  return findings.find((finding) => finding.subject === subject);
}

function work(): void {
  const store = openTestStore(folder);
  writeInventedJobs(store, 1);
  store.close();
}

describe('the doctor', () => {
  it('finds nothing bad where a station has done its work', async () => {
    work();
    noteLastVerify(folder, { at, intact: true, events: 9, problemCount: 0 });
    const report = await examined();
    expect(report.findings.filter(({ verdict }) => verdict === 'bad')).toEqual([]);
    expect(report.healthy).toBe(true);
    expect(report.findings.map(({ subject }) => subject)).toEqual([
      'versions',
      'ports',
      'HID scales',
      'data folder',
      'disk',
      'station',
      'database',
      'signed end',
      'signing key',
      'clock',
      'last verify',
      'backups',
      'log',
    ]);
    expect(await findingOf('versions')).toMatchObject({
      details: { node: process.versions.node, electron: null, packages: { zod: expect.any(String) } },
    });
    expect(await findingOf('database')).toMatchObject({
      verdict: 'good',
      details: { quickCheck: 'ok', sqlite: expect.stringMatching(/^3\./) },
    });
  });

  it('makes nothing in a folder that no station has worked in', async () => {
    const { healthy, findings } = await examined();
    expect(healthy).toBe(true);
    expect(findings.filter(({ verdict }) => verdict === 'note').map(({ subject }) => subject)).toEqual(
      expect.arrayContaining(['database', 'signing key', 'signed end', 'station', 'last verify']),
    );
    expect(readdirSync(folder)).toEqual([]);
    folder = join(folder, 'not-there');
    expect(await findingOf('data folder')).toMatchObject({ verdict: 'note' });
    expect(existsSync(folder)).toBe(false);
  });

  it('says that a station works there', async () => {
    const store = openTestStore(folder);
    expect(await findingOf('station')).toMatchObject({ details: { working: true } });
    store.close();
    expect(await findingOf('station')).toMatchObject({ details: { working: false } });
  });

  it('says that others may read folder or key', async () => {
    work();
    chmodSync(folder, 0o755);
    expect(await findingOf('data folder')).toMatchObject({ verdict: 'note', details: { mode: '755' } });
    chmodSync(join(folder, 'signing-key.pem'), 0o640);
    expect(await findingOf('signing key')).toMatchObject({ verdict: 'bad', details: { mode: '640' } });
    writeFileSync(join(folder, 'signing-key.pem'), 'spoiled');
    expect((await findingOf('signing key'))?.verdict).toBe('bad');
  });

  it('says that the disk is nearly full', async () => {
    expect(await findingOf('disk', { freeBytes: async () => 20 * 2 ** 20 })).toMatchObject({
      verdict: 'bad',
      sentence: expect.stringContaining('20 MB'),
    });
  });

  it('says which ports may not be opened, and what to do', async () => {
    const port = (path: string) => ({
      path,
      identity: { transport: 'serial' as const, path },
      knownBy: 'path' as const,
      isScale: false,
    });
    expect(await findingOf('ports')).toMatchObject({ verdict: 'note' });
    expect(
      await findingOf('ports', { listPorts: async () => [port('/dev/null'), port('COM3')] }),
    ).toMatchObject({
      verdict: 'good',
    });
    expect(
      await findingOf('ports', { listPorts: async () => [port('/dev/null'), port('/dev/shut')] }),
    ).toMatchObject({
      verdict: 'bad',
      sentence: expect.stringMatching(/^\/dev\/shut .*dialout/),
    });
  });

  it('says that HID scales cannot be looked for, and which Debian package is missing', async () => {
    // What glibc says where libusb is not installed (Debian 12, node-hid 3.4).
    const message = 'libusb-1.0.so.0: cannot open shared object file: No such file or directory';
    const load = () => Promise.reject(Object.assign(new Error(message), { code: 'ERR_DLOPEN_FAILED' }));
    const hidLack = async () => (await lookForHidDevices(load)).lack;
    expect(await findingOf('HID scales', { hidLack })).toMatchObject({
      verdict: 'note',
      code: 'hidLibraryMissing',
      values: { library: 'libusb-1.0.so.0', package: 'libusb-1.0-0' },
      sentence: expect.stringContaining('install the Debian package libusb-1.0-0'),
    });
    expect(await findingOf('HID scales', { hidLack: async () => null })).toMatchObject({ verdict: 'good' });
    const other = async () =>
      (await lookForHidDevices(() => Promise.reject(new Error('no such module')))).lack;
    expect(await findingOf('HID scales', { hidLack: other })).toMatchObject({
      code: 'hidFailed',
      sentence: expect.stringContaining('no such module'),
    });
  });

  it('says that the file of the database is damaged, cut off or not ours', async () => {
    work();
    const file = join(folder, 'station.sqlite');
    const whole = readFileSync(file);
    truncateSync(file, Math.floor(whole.length / 2));
    expect((await findingOf('database'))?.verdict).toBe('bad');
    writeFileSync(file, 'no database, and longer than the hundred bytes of a header'.repeat(9));
    expect(await findingOf('database')).toMatchObject({ verdict: 'bad', details: { code: 'damaged' } });
  });

  it('says that the end of the evidence is missing', async () => {
    work();
    const head = join(folder, 'station.head');
    const known = readHead(folder);
    if (typeof known === 'string') throw new Error(known);
    writeFileSync(head, JSON.stringify({ ...known, sequence: known.sequence + 5 }));
    expect(await findingOf('signed end')).toMatchObject({ verdict: 'bad' });
    writeFileSync(head, 'spoiled');
    expect(await findingOf('signed end')).toMatchObject({ verdict: 'note' });
  });

  it('says that the clock cannot be right', async () => {
    work();
    for (const wrong of ['1970-01-01T00:03:00.000+00:00', '2026-01-01T00:00:00.000+00:00']) {
      expect(await findingOf('clock', { at: wrong })).toMatchObject({ verdict: 'bad' });
    }
    expect(await findingOf('clock')).toMatchObject({ verdict: 'good' });
  });

  it('says how the last verification ended and when it is long ago', async () => {
    noteLastVerify(folder, { at, intact: false, events: 9, problemCount: 2 });
    expect(await findingOf('last verify')).toMatchObject({ verdict: 'bad' });
    noteLastVerify(folder, { at, intact: true, events: 9, problemCount: 0 });
    expect(await findingOf('last verify', { at: '2027-02-14T10:00:00.000+01:00' })).toMatchObject({
      verdict: 'good',
    });
    expect(await findingOf('last verify', { at: '2027-03-01T10:00:00.000+01:00' })).toMatchObject({
      verdict: 'note',
    });
  });

  it('counts errors in the log and crash reports', async () => {
    expect(await findingOf('log')).toMatchObject({ verdict: 'good' });
    openLog(folder).error('something');
    openLog(folder).info('nothing');
    writeCrashReport(folder, new Error('invented'), at);
    expect(await findingOf('log')).toMatchObject({ verdict: 'note', details: { errors: 1, crashes: 1 } });
  });

  it('names a look that failed by itself, and looks on', async () => {
    const report = await examine(at, folder, {
      first: () => {
        throw new Error('broken');
      },
      second: () => ({
        ...{ subject: 'second', verdict: 'good', code: 'diskGood', values: {} },
        ...{ sentence: 'well', details: {} },
      }),
    });
    expect(report.healthy).toBe(false);
    expect(describeHealth(report).split('\n').slice(1)).toEqual([
      '✗ BAD   first   could not be looked at: broken',
      '✓ good  second  well',
    ]);
  });
});

describe('the command doctor', () => {
  it('prints lines, or JSON, and ends with 1 when somebody has to act', async () => {
    work();
    const well = await bandwright(['doctor', '--data', folder]);
    expect(well).toMatchObject({ code: 0, error: '' });
    expect(well.out).toMatch(/✓ good {2}database/);
    chmodSync(join(folder, 'signing-key.pem'), 0o644);
    const ill = await bandwright(['doctor', '--data', folder, '--json']);
    expect(ill.code).toBe(1);
    expect(JSON.parse(ill.out)).toMatchObject({ dataFolder: folder, healthy: false });
    expect((await bandwright(['doctor', 'me'])).code).toBe(2);
  });
});

describe('crash reports', () => {
  it('stay in the log folder, readable by their owner, the newest ten', () => {
    for (let second = 10; second < 25; second += 1) {
      writeCrashReport(folder, new TypeError('invented'), `2031-04-17T10:00:${second}.000Z`);
    }
    const reports = listCrashReports(folder);
    expect(reports).toHaveLength(10);
    expect(reports[0]).toContain('crash-20310417T100015000Z');
    const last = reports.at(-1) ?? '';
    expect(JSON.parse(readFileSync(last, 'utf8'))).toMatchObject({
      at: '2031-04-17T10:00:24.000Z',
      mistake: expect.stringContaining('TypeError: invented'),
      node: process.versions.node,
    });
    expect(statSync(last).mode & 0o777).toBe(0o600);
  });

  it('are done without where they cannot be written', () => {
    mkdirSync(folder, { recursive: true });
    writeFileSync(join(folder, 'log'), 'a file where the folder should be');
    expect(writeCrashReport(folder, 'thrown text', at)).toBeNull();
    expect(listCrashReports(folder)).toEqual([]);
  });
});
