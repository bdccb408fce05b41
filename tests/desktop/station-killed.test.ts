import { mkdirSync, readdirSync, readlinkSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { databaseName } from '../../electron/station/store/database.ts';
import { openEvidence } from '../../electron/station/store/open-store.ts';
import { type JobEvent, jobEventSchema } from '../../shared/job/event.ts';
import { verdictOn } from '../station/audit/tampering.ts';
import { BenchKeyboard, people } from './bench-keyboard.ts';
import {
  type BenchWindowUnderTest,
  isRunning,
  makeDataFolder,
  projectFolder,
  removeDataFolder,
  startBenchWindow,
} from './bench-window.ts';

const artifacts = `${projectFolder}/tests/.artifacts`;
let data: string;
let window: BenchWindowUnderTest | undefined;

beforeEach(() => {
  data = makeDataFolder();
  mkdirSync(artifacts, { recursive: true });
});

afterEach(async () => {
  await window?.close();
  window = undefined;
  removeDataFolder(data);
});

/** The process that has the database of the data folder open, whichever program hosts it. */
function stationProcess(): number | undefined {
  const database = join(data, databaseName);
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name) && Number(name) !== process.pid)
    .map(Number)
    .find((pid) => openFiles(pid).includes(database));
}

function openFiles(pid: number): string[] {
  try {
    const folder = `/proc/${pid}/fd`;
    return readdirSync(folder).map((descriptor) => readlinkSync(join(folder, descriptor)));
  } catch {
    // Gone meanwhile, or not ours to look at.
    return [];
  }
}

/** The events of the only visit of a serial, and the hashes that chain them. */
function writtenOf(serial: string): { jobId: string; events: readonly JobEvent[]; hashes: string[] } {
  const evidence = openEvidence(data);
  try {
    const jobs = evidence.jobsOfSerial(serial);
    expect(jobs).toHaveLength(1);
    const { jobId } = jobs[0]!;
    const stored = evidence.readStream(`job/${jobId}`);
    return {
      jobId,
      events: stored.map(({ body }) => jobEventSchema.parse(body)),
      hashes: stored.map(({ hash }) => hash),
    };
  } finally {
    evidence.close();
  }
}

describe('the station process is killed during the fill', () => {
  test('the window says so, the job stands where it stood with its readings, and is finished', {
    timeout: 120_000,
  }, async () => {
    window = await startBenchWindow({ data, args: ['--lang=en-US'] });
    const { page } = window;
    const bench = new BenchKeyboard(page);
    await bench.signIn(people.amber);
    await bench.openJob('SLT-2001', 'sheet-slate-short');
    await bench.doStep(people.amber);
    await bench.atStep('fill');
    await bench.weighEmptyDish();
    // Far too little, captured all the same: a reading that must not be lost.
    await bench.squeeze();
    await bench.untilVerdict('short');
    await bench.captureOutside();
    expect(await bench.outcome('Fill the outer recess')).toContain('FAIL');
    const before = writtenOf('SLT-2001');
    expect(before.events.map(({ kind }) => kind)).toEqual([
      'jobOpened',
      'cautionAcknowledged',
      'tareTaken',
      'measurementCaptured',
    ]);
    await bench.squeeze();

    const first = stationProcess();
    expect(first).toBeDefined();
    await bench.press('F10');
    process.kill(first!, 'SIGKILL');

    const notice = page.getByRole('alert').filter({ hasText: 'The station stopped and is restarting' });
    await notice.waitFor({ timeout: 20_000 });
    await page.screenshot({ path: `${artifacts}/station-killed-notice.png` });

    // Comes back by itself: same person, same job, same step, same readings.
    await bench.atStep('fill');
    const second = stationProcess();
    expect(second).not.toBe(first);
    expect(isRunning(second!)).toBe(true);
    expect(await page.locator('.head-name').textContent()).toBe(people.amber.name);
    expect(await page.getByTestId('serial-in-hand').textContent()).toBe('SLT-2001');
    expect(await page.getByTestId('step').textContent()).toContain('Attempt 2 of 3');
    await expect.poll(() => page.locator('.measure').textContent()).toMatch(/Empty dish: 41\.8[5-9]\sg/);
    expect(writtenOf('SLT-2001')).toEqual(before);
    await bench.expectSimulated();
    await page.screenshot({ path: `${artifacts}/station-killed-resumed.png` });

    // The simulated pan is empty after the restart; the dish goes on again and is filled.
    await bench.press('F9');
    await expect.poll(() => bench.value(), { timeout: 20_000 }).toBeGreaterThan(-1);
    await bench.fillUntilInside();
    await bench.captureMass();
    await bench.atStep('tighten');
    await bench.doStep(people.amber);
    await bench.doStep(people.amber);
    await bench.release(people.amber);

    const after = writtenOf('SLT-2001');
    expect(after.jobId).toBe(before.jobId);
    expect(after.hashes.slice(0, before.hashes.length)).toEqual(before.hashes);
    expect(after.events.slice(before.events.length).map(({ kind }) => kind)).toEqual([
      'measurementCaptured',
      'measurementCaptured',
      'stepSignedOff',
      'jobReleased',
    ]);
    await window.close();
    window = undefined;
    expect(verdictOn(data)).toMatchObject({ intact: true, problems: [], records: 1 });
  });
});
