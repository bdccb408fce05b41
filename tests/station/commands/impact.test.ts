import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { impactCommand } from '../../../electron/station/commands/impact.ts';
import { openStore } from '../../../electron/station/store/open-store.ts';
import type { Store } from '../../../electron/station/store/store.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { calibrationPoint, goodCertificate, wrenchCertified, wrenchRegistered } from '../invented-wrench.ts';
import { temporaryFolder, tickingClock, writeInventedJobsAtOnce } from '../store/bench.ts';
import { call } from './calling.ts';

// Invented jobs run from 2026-03-02, one every fifteen minutes; their peaks lie between 26.4 and 27.6 N·m in the
// band 25.92 … 28.08 N·m with U = 0.3 N·m (k = 2) and a guard band of U: accepted from 26.22 to 27.78 N·m.
const jobs = 200;

const good = goodCertificate('2026-03-03');
const found = {
  ...good,
  number: 'FOUND-2',
  date: '2026-03-04',
  asFound: [calibrationPoint(5, 0.2), calibrationPoint(60, 1.2)],
};

/** A data folder with the jobs and a register that says this of the wrench. */
interface Workshop {
  readonly folder: string;
  readonly store: Store;
}

function workshopWith(...certificates: readonly object[]): Workshop {
  const folder = mkdtempSync(join(tmpdir(), 'bandwright-impact-'));
  const store = openStore({ folder, clock: tickingClock(), createId: () => 'station-1', rules: jobEvidence });
  writeInventedJobsAtOnce(store, jobs);
  const stored = store.append({
    stream: 'instrument/wrench-1',
    expectedVersion: 0,
    personId: 'cedar',
    events: [wrenchRegistered(), ...certificates.map((certificate) => wrenchCertified(certificate))].map(
      (event) => ({ kind: event.kind, body: event }),
    ),
  });
  expect(stored.ok).toBe(true);
  return { folder, store };
}

/** With one certificate from before all jobs; with two from while they went on. */
let before: Workshop;
let between: Workshop;
beforeAll(() => {
  before = workshopWith({ ...good, date: '2026-01-05' });
  between = workshopWith(good, found);
});
afterAll(() => {
  for (const { folder, store } of [before, between]) {
    store.close();
    rmSync(folder, { recursive: true });
  }
});

async function impact(workshop: Workshop, report: unknown, options: Record<string, string | boolean> = {}) {
  const { code, out, error } = await call(impactCommand, JSON.stringify(report), [], {
    json: true,
    data: workshop.folder,
    instrument: 'wrench-1',
    'as-found': '-',
    ...options,
  });
  return { code, error, report: out === '' ? null : JSON.parse(out) };
}

describe('impact', () => {
  it('lists the decisions that change, and leaves the evidence as it is', async () => {
    const sequence = before.store.lastSequence();
    const { code, report } = await impact(before, { unit: 'N.m', error: 0.5 });
    expect(report).toMatchObject({
      instrumentId: 'wrench-1',
      name: 'Invented wrench',
      lastGoodCalibration: { number: 'GOOD-1', date: '2026-01-05' },
      since: '2026-01-05',
      until: null,
      judged: jobs,
      unknown: 0,
    });
    expect(code).toBe(1);
    expect(report.captures).toHaveLength(report.changed);
    // By hand: 0.5 N·m less; what falls below 26.22 is accepted no more, what falls below 25.92 conforms no more.
    const all = (await impact(before, { unit: 'N.m', error: 0.5 }, { all: true })).report.captures;
    expect(all).toHaveLength(jobs);
    for (const { recorded, again, outcome } of all) {
      const value = recorded.value - 0.5;
      expect(again.value).toBeCloseTo(value, 9);
      expect(recorded.decision).toBe('pass');
      expect(again.decision).toBe(
        value >= 26.22 ? 'pass' : value >= 25.92 ? 'conditional pass' : 'conditional fail',
      );
      expect(outcome).toBe(again.decision === 'pass' ? 'unchanged' : 'changed');
    }
    expect(new Set(report.captures.map(({ phase }: { phase: string }) => phase))).toEqual(
      new Set(['released']),
    );
    expect(before.store.lastSequence()).toBe(sequence);
  });

  it('says that nothing changes, with exit 0, for an error that was known to be none', async () => {
    expect(await impact(before, { unit: 'N.m', error: 0 })).toMatchObject({
      code: 0,
      report: { changed: 0, captures: [] },
    });
  });

  it('takes the readings between the last good calibration and the one that found the error, both days included', async () => {
    const perDay = (day: string) =>
      between.store.findCaptures(
        { instrumentId: 'wrench-1', from: `${day}T00:00:00Z`, until: `${day}T23:59:59.999Z` },
        0,
        1000,
      ).length;
    const expected = {
      lastGoodCalibration: { number: 'GOOD-1' },
      since: '2026-03-03',
      until: '2026-03-04',
      judged: perDay('2026-03-03') + perDay('2026-03-04'),
    };
    expect(expected.judged).toBeGreaterThan(0);
    expect(expected.judged).toBeLessThan(jobs);
    // The whole certificate, its errors alone, or its errors with the day: all three lead to the same window.
    expect((await impact(between, found)).report).toMatchObject(expected);
    const points = [
      { reference: 5, error: 0.2 },
      { reference: 60, error: 1.2 },
    ];
    expect((await impact(between, { unit: 'N.m', points })).report).toMatchObject(expected);
    expect((await impact(between, { unit: 'N.m', date: '2026-03-04', points })).report).toMatchObject(
      expected,
    );
    const later = { ...expected, since: '2026-03-04', judged: perDay('2026-03-04') };
    expect((await impact(between, found, { since: '2026-03-04' })).report).toMatchObject(later);
  });

  it('names readings outside the as-found range as unknown: a person must look', async () => {
    const points = [
      { indication: 5, error: 0.1 },
      { indication: 27, error: 0.1 },
    ];
    const { code, report } = await impact(before, { unit: 'N.m', points });
    const beyond = report.captures.filter(
      ({ recorded }: { recorded: { value: number } }) => recorded.value > 27,
    );
    expect(code).toBe(1);
    expect(beyond.length).toBe(report.unknown);
    expect(beyond[0]).toMatchObject({
      outcome: 'unknown',
      again: null,
      reason: { code: 'outside_calibration_range' },
    });
  });

  it('takes a net mass through tare and gross, for an instrument that only the readings know', async () => {
    // 61.4 g of dish and about 25 g of grease: the error grows by 1 % of the load, so the net loses 1 %.
    const points = [
      { indication: 0, error: 0 },
      { indication: 101, error: 1 },
    ];
    const { report } = await impact(before, { unit: 'g', points }, { instrument: 'scale-1', all: true });
    expect(report).toMatchObject({ lastGoodCalibration: null, since: null, judged: jobs });
    for (const { recorded, again } of report.captures) {
      expect(again.shift).toBeCloseTo(-recorded.value / 101, 9);
    }
  });

  it('prints for people what changes and in which job', async () => {
    const { out } = await call(impactCommand, JSON.stringify({ unit: 'N.m', error: 0.9 }), [], {
      data: before.folder,
      instrument: 'wrench-1',
      'as-found': '-',
    });
    expect(out).toContain('certificate GOOD-1 of 2026-01-05');
    expect(out).toMatch(
      /INV-\d+ .* ring {2}2[67]\.\d+ N\.m pass → 2[56]\.\d+ N\.m (conditional )?(fail|pass) {2}\(released, job /,
    );
  });

  it.each([
    [
      { unit: 'N.m', error: 1 },
      { instrument: 'wrench-9' },
      /--instrument: "wrench-9" is not known here; choose one of wrench-1/,
    ],
    [{ unit: 'N.m', error: 1 }, { instrument: '' }, /--instrument: missing or no id/],
    [{ unit: 'N.m', error: 1 }, { since: 'yesterday' }, /--since: "yesterday" is no day/],
    [{ unit: 'N.m', error: 1 }, { 'as-found': '/no/such/file.json' }, /cannot be read/],
    [{ unit: 'g', error: 1 }, {}, /^unit: g is no unit of torque/],
    [{ error: 1 }, {}, /^unit: missing/],
    [{ unit: 'N.m', points: [{ reference: 20 }] }, {}, /^points\[0\]: needs two of/],
  ])('refuses %j with %j in one line, exit 2', async (report, options, sentence) => {
    const result = await impact(between, report, options as Record<string, string>);
    expect(result).toMatchObject({ code: 2, report: null, error: expect.stringMatching(sentence) });
    expect(result.error).not.toContain('\n');
  });

  it('refuses NaN and a folder without a database', async () => {
    const nan = await call(impactCommand, '{"unit":"N.m","error":NaN}', [], {
      data: before.folder,
      instrument: 'wrench-1',
      'as-found': '-',
    });
    expect(nan).toMatchObject({ code: 2, error: expect.stringMatching(/^error: must be a finite number/) });
    const empty = temporaryFolder();
    const none = await call(impactCommand, '{"unit":"N.m","error":1}', [], {
      data: empty,
      instrument: 'wrench-1',
      'as-found': '-',
    });
    expect(none).toMatchObject({ code: 2, error: expect.stringMatching(/^--data: no database/) });
  });
});
