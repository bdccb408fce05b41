import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { AuditDesk } from '../../../electron/station/audit/audit-desk.ts';
import { openStore } from '../../../electron/station/store/open-store.ts';
import type { ImpactProgress, ImpactReportView, ImpactWish } from '../../../shared/audit/impact-view.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import {
  foundCertificate,
  foundHash,
  goodCertificate,
  wrenchCertified,
  wrenchRegistered,
} from '../invented-wrench.ts';
import { tickingClock, writeInventedJobsAtOnce } from '../store/bench.ts';

// Invented jobs run from 2026-03-02, one every fifteen minutes; their peaks lie between 26.4 and 27.6 N·m and are
// accepted from 26.22 to 27.78 N·m, in tolerance from 25.92 to 28.08 N·m.
const jobs = 200;
const good = goodCertificate('2026-01-05');
const found = foundCertificate('2026-04-01');
const folder = mkdtempSync(join(tmpdir(), 'bandwright-impact-desk-'));
let desk: AuditDesk;

beforeAll(() => {
  const store = openStore({ folder, clock: tickingClock(), createId: () => 'station-1', rules: jobEvidence });
  writeInventedJobsAtOnce(store, jobs);
  const events = [
    wrenchRegistered({ kind: 'relative', fraction: 0.01 }),
    wrenchCertified(good),
    wrenchCertified(found, foundHash),
  ];
  const stored = store.append({
    stream: 'instrument/wrench-1',
    expectedVersion: 0,
    personId: 'cedar',
    events: events.map((event) => ({ kind: event.kind, body: event })),
  });
  expect(stored.ok).toBe(true);
  store.close();
  desk = new AuditDesk({
    dataFolder: folder,
    wallTime: () => '2026-04-02T12:00:00.000+02:00',
    onBug: (error) => {
      throw error;
    },
  });
});
afterAll(async () => {
  await desk.close();
  rmSync(folder, { recursive: true, force: true });
});

const wish: ImpactWish = { instrumentId: 'wrench-1', certificateHash: foundHash, language: 'en' };

/** Judges again to the end. */
function judged(more: Partial<ImpactWish> = {}): Promise<ImpactProgress> {
  return new Promise((resolve, reject) => {
    const started = desk.startImpact('flint', { ...wish, ...more }, (progress) => {
      if (progress.state !== 'running') resolve(progress);
    });
    if (!started.ok) reject(new Error(started.error.code));
  });
}

async function reportOf(more: Partial<ImpactWish> = {}): Promise<ImpactReportView> {
  const { report } = await judged(more);
  if (report === null) throw new Error('no report');
  return report;
}

describe('what an instrument found out of tolerance means, for a screen', () => {
  it('tells which calibrations found it out of tolerance, the newest first', async () => {
    const answer = await desk.readingRoom.ask('calibratedInstruments', {});
    expect(answer).toMatchObject({
      ok: true,
      value: {
        instruments: [
          {
            instrumentId: 'wrench-1',
            name: 'Invented wrench',
            calibrations: [
              { number: 'FOUND-2', finding: { error: 0.1, permitted: 0.05, outOfTolerance: true } },
              { number: 'GOOD-1', finding: { outOfTolerance: false } },
            ],
          },
        ],
      },
    });
  });

  it('counts every capture since the last good calibration by both decisions, and lists the serials', async () => {
    const report = await reportOf();
    expect(report).toMatchObject({
      certificateNumber: 'FOUND-2',
      lastGoodCalibration: { number: 'GOOD-1', date: '2026-01-05' },
      since: '2026-01-05',
      until: '2026-04-01',
      judged: jobs,
      unknown: 0,
      omitted: 0,
    });
    const counted = report.counts.reduce((sum, { count }) => sum + count, 0);
    expect(counted).toBe(jobs);
    const changed = report.counts.filter(({ recorded, again }) => recorded !== again);
    expect(changed.reduce((sum, { count }) => sum + count, 0)).toBe(report.changed);
    expect(report.changed).toBeGreaterThan(0);
    expect(new Set(report.captures.map(({ serial }) => serial))).toEqual(new Set(report.serials));
    for (const { recorded, again, stepTitle } of report.captures) {
      expect(stepTitle?.de).toBe('Sicherungsring anziehen');
      // By hand: the peak is a multiple of 1.02; from 26.22 accepted, from 25.92 in tolerance.
      const value = recorded.value / 1.02;
      expect(again?.value).toBeCloseTo(value, 6);
      expect(again?.decision).toBe(value >= 25.92 ? 'conditional pass' : 'conditional fail');
    }
  });

  it('writes a file of all captures, for whoever asked', async () => {
    const progress = await judged({ language: 'de' });
    expect(progress.state).toBe('ready');
    const ready = desk.exports.find('flint', progress.exportId)!;
    expect(ready.fileName).toBe('bandwright-20260402T120000-impact.csv');
    const lines = readFileSync(ready.path, 'utf8').trimEnd().split('\r\n');
    expect(lines).toHaveLength(jobs + 1);
    expect(lines[0]).toMatch(/^serial;job;phase;/);
    expect(lines[1]).toMatch(/;N\.m;\d+,\d+;pass;\d+,\d+;-0,\d+;/);
    expect(desk.exports.find('dune', progress.exportId)).toBeUndefined();
  });

  it('begins on a wished day', async () => {
    const all = await reportOf();
    const later = await reportOf({ since: '2026-03-03' });
    expect(later.since).toBe('2026-03-03');
    expect(later.judged).toBeLessThan(all.judged);
    expect(later.judged).toBeGreaterThan(0);
  });

  it('says what is not in the register', async () => {
    expect(await judged({ certificateHash: 'ef'.repeat(32) })).toMatchObject({
      state: 'failed',
      message: 'This instrument has no such certificate.',
    });
    expect(await judged({ instrumentId: 'wrench-9' })).toMatchObject({ state: 'failed', report: null });
  });

  it('is stopped by whoever started it, and leaves no file', async () => {
    const told: ImpactProgress[] = [];
    const started = desk.startImpact('flint', wish, (progress) => told.push(progress));
    if (!started.ok) throw new Error(started.error.code);
    const { exportId } = started.value;
    expect(desk.startImpact('cedar', wish, () => undefined)).toMatchObject({
      error: { code: 'export_running' },
    });
    expect(desk.exports.stop('cedar', exportId)).toMatchObject({ ok: false });
    expect(desk.exports.stop('flint', exportId)).toMatchObject({ ok: true });
    await expect.poll(() => told.at(-1)?.state).toBe('stopped');
    expect(existsSync(join(folder, 'exports', exportId))).toBe(false);
    expect(readdirSync(join(folder, 'exports')).every((name) => name !== exportId)).toBe(true);
  });
});
