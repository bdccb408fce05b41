import { describe, expect, it } from 'vitest';
import { chartCommand } from '../../../electron/station/commands/chart.ts';
import { gaugeCommand } from '../../../electron/station/commands/gauge.ts';
import { riskCommand } from '../../../electron/station/commands/risk.ts';
import checkValues from '../../fixtures/check-values.json' with { type: 'json' };
import { openTestStore, temporaryFolder, writeInventedJobsAtOnce } from '../store/bench.ts';
import { call } from './calling.ts';

describe('the command risk', () => {
  const { T, y0, u0, um, RC_simple, RP_simple } = checkValues.public.decision.jcgm106_resistor;
  const file = {
    process: { mean: y0, standardDeviation: u0 },
    // The example is of a resistor; its numbers hold in any unit.
    band: { lower: T[0], upper: T[1], unit: 'N.m' },
    uncertainty: { standard: um, unit: 'N.m' },
    rule: { kind: 'simple' },
  };

  it('gives the risks of the published example (JCGM 106:2012 9.5, numbers from memory, trust C)', async () => {
    const { code, out } = await call(riskCommand, JSON.stringify(file));
    expect(code).toBe(0);
    const report = JSON.parse(out);
    expect(Math.abs(report.consumer - RC_simple)).toBeLessThan(1e-6);
    expect(Math.abs(report.producer - RP_simple)).toBeLessThan(1e-6);
    expect(report.acceptance).toEqual({ lower: T[0], upper: T[1] });
  });

  it('prints them for people', async () => {
    const { out } = await call(riskCommand, JSON.stringify(file), [], {});
    expect(out).toMatch(/^does not conform, accepted {3}\d+\.\d+ %\nconforms, rejected/);
  });

  it.each([
    [
      { ...file, process: { mean: 1, standardDeviation: 0 } },
      /^process\.standardDeviation: must be above zero/,
    ],
    [{ ...file, uncertainty: { standard: 1, unit: 'g' } }, /^uncertainty\.unit: g measures another quantity/],
    [
      { ...file, uncertainty: { expanded: 100, k: 2, unit: 'N.m' }, rule: { kind: 'guarded', factor: 1 } },
      /^rule: no acceptance zone/,
    ],
  ])('refuses %j in one line, exit 2', async (bad, sentence) => {
    const { code, error } = await call(riskCommand, JSON.stringify(bad));
    expect([code, error.includes('\n')]).toEqual([2, false]);
    expect(error).toMatch(sentence);
  });
});

describe('the command gauge', () => {
  const readings = ['A', 'B', 'C'].flatMap((part, at) =>
    ['amber', 'birch'].flatMap((operator, who) =>
      [0, 0.02].map((noise) => ({ part, operator, value: 10 + at + who * 0.01 + noise })),
    ),
  );

  it('tells the instrument from the parts', async () => {
    const { code, out } = await call(gaugeCommand, JSON.stringify({ readings, tolerance: 1 }));
    expect(code).toBe(0);
    const study = JSON.parse(out);
    // By hand: two readings 0.02 apart have the variance 0.0002.
    expect(study.lines.repeatability.meanSquare).toBeCloseTo(0.0002, 12);
    expect(study.components.part.percentContribution).toBeGreaterThan(99);
    expect(study.percentOfTolerance).toBeCloseTo(
      600 * study.components.measurementSystem.standardDeviation,
      9,
    );
  });

  it('refuses a study with a hole, exit 2', async () => {
    const { code, error } = await call(gaugeCommand, JSON.stringify({ readings: readings.slice(0, -1) }));
    expect([code, error]).toEqual([2, expect.stringMatching(/^readings: must hold every part as often/)]);
  });
});

describe('the command chart, for a small shift', () => {
  function folderWithJobs(): string {
    const folder = temporaryFolder();
    const store = openTestStore(folder);
    writeInventedJobsAtOnce(store, 30);
    store.close();
    return folder;
  }

  it('gives moving averages and cumulated sums on demand', async () => {
    const folder = folderWithJobs();
    const asked = { data: folder, quantity: 'torque', json: true };
    const plain = JSON.parse((await call(chartCommand, '', [], asked)).out);
    expect(plain.smallShift).toBeUndefined();
    expect(plain.study.risk.consumer).toBeGreaterThanOrEqual(0);
    const ewma = JSON.parse((await call(chartCommand, '', [], { ...asked, form: 'ewma' })).out);
    expect(ewma.smallShift.values).toHaveLength(30);
    const cusum = JSON.parse((await call(chartCommand, '', [], { ...asked, form: 'cusum' })).out);
    expect(cusum.smallShift.high).toHaveLength(30);
    const { out } = await call(chartCommand, '', [], { data: folder, quantity: 'torque', form: 'cusum' });
    expect(out).toMatch(/\ncusum +limit \d+\.\d+, /);
  });

  it('refuses a form that there is not', async () => {
    const { code, error } = await call(chartCommand, '', [], {
      data: folderWithJobs(),
      quantity: 'mass',
      form: 'pie',
    });
    expect([code, error]).toEqual([2, '--form: "pie" is none; give individuals, ewma, cusum']);
  });
});
