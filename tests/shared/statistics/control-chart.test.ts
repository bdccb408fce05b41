import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  capability,
  movingRangeEstimate,
  overallEstimate,
  pooledEstimate,
} from '../../../shared/statistics/capability.ts';
import { meanAndRangeChart } from '../../../shared/statistics/control-chart.ts';
import {
  addReading,
  mean,
  noReadings,
  runningStandardDeviation,
  standardDeviation,
} from '../../../shared/statistics/descriptive.ts';
import { gaugeStudy } from '../../../shared/statistics/gauge-study.ts';
import { runSignals } from '../../../shared/statistics/run-rules.ts';

/** Thousandths up to a million: sizes that instruments show, whose squares do not underflow. */
const thousandths = fc.integer({ min: -1_000_000_000, max: 1_000_000_000 }).map((count) => count / 1000);
const readings = fc.array(thousandths, { minLength: 2, maxLength: 60 });

describe('mean and standard deviation', () => {
  test('shift with the readings and do not grow by an offset', () => {
    const integers = fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 2, maxLength: 60 });
    fc.assert(
      fc.property(integers, fc.integer({ min: -1_000_000, max: 1_000_000 }), (values, offset) => {
        const moved = values.map((value) => value + offset);
        expect(mean(moved)).toBeCloseTo(mean(values) + offset, 9);
        expect(standardDeviation(moved)).toBeCloseTo(standardDeviation(values), 9);
      }),
    );
  });

  test('one by one gives the same as all at once', () => {
    fc.assert(
      fc.property(readings, (values) => {
        const running = values.reduce(addReading, noReadings);
        const size = Math.max(...values.map(Math.abs), 1e-300);
        expect(Math.abs(running.mean - mean(values)) / size).toBeLessThan(1e-13);
        expect(
          Math.abs((runningStandardDeviation(running) ?? 0) - standardDeviation(values)) / size,
        ).toBeLessThan(1e-7);
      }),
    );
  });

  test('need readings', () => {
    expect(() => mean([])).toThrow(RangeError);
    expect(() => standardDeviation([1])).toThrow(RangeError);
    expect(runningStandardDeviation(noReadings)).toBeNull();
  });
});

describe('a chart of means and ranges', () => {
  test('subgroups of four: limits by A2 0.7286, D4 2.2821', () => {
    const chart = meanAndRangeChart([
      [10, 12, 11, 11],
      [11, 13, 12, 12],
      [9, 11, 10, 10],
    ]);
    expect(chart.means).toEqual([11, 12, 10]);
    expect(chart.ranges).toEqual([2, 2, 2]);
    expect(chart.mean.upper).toBeCloseTo(11 + 0.728597 * 2, 5);
    expect(chart.mean.lower).toBeCloseTo(11 - 0.728597 * 2, 5);
    expect(chart.range.upper).toBeCloseTo(2.282052 * 2, 5);
    expect(chart.standardDeviation).toBeCloseTo(2 / 2.058751, 6);
  });

  test('unequal or outsized subgroups are no such chart', () => {
    expect(() => meanAndRangeChart([[1, 2], [1]])).toThrow(RangeError);
    expect(() => meanAndRangeChart([[1]])).toThrow(RangeError);
    expect(() => meanAndRangeChart([])).toThrow(RangeError);
  });
});

describe('capability', () => {
  test('within a drifting process is better than its performance', () => {
    const drifting = Array.from({ length: 30 }, (_, index) => index + (index % 2));
    const limits = { lower: -10, upper: 50 };
    const within = capability(movingRangeEstimate(drifting), limits);
    const overall = capability(overallEstimate(drifting), limits);
    expect(within.worst.value).toBeGreaterThan(overall.worst.value);
  });

  test('pools the standard deviations of subgroups', () => {
    const estimate = pooledEstimate([
      [1, 3],
      [10, 14],
    ]);
    // s² = (2 + 8)/2
    expect(estimate.standardDeviation).toBeCloseTo(Math.sqrt(5), 12);
    expect(estimate.degreesOfFreedom).toBe(2);
  });

  test('with one limit has no spread index', () => {
    const found = capability(
      { mean: 5, standardDeviation: 1, count: null, degreesOfFreedom: null },
      { lower: 2, upper: null },
    );
    expect(found).toEqual({
      spread: null,
      worst: { value: 1, interval: null },
      upper: null,
      lower: 1,
      offCentre: null,
    });
  });

  test('needs a limit and a spread', () => {
    const estimate = { mean: 5, standardDeviation: 1, count: null, degreesOfFreedom: null };
    expect(() => capability(estimate, { lower: null, upper: null })).toThrow(RangeError);
    expect(() => capability({ ...estimate, standardDeviation: 0 }, { lower: 1, upper: 2 })).toThrow(
      RangeError,
    );
  });
});

describe('a gauge study', () => {
  const study = (f: (part: number, operator: number, trial: number) => number) =>
    [0, 1, 2, 3].flatMap((part) =>
      [0, 1].flatMap((operator) =>
        [0, 1, 2].map((trial) => ({
          part: `${part}`,
          operator: `${operator}`,
          value: f(part, operator, trial),
        })),
      ),
    );

  test('keeps an interaction that is real', () => {
    const found = gaugeStudy(
      study((part, operator, trial) => part + (operator === 0 ? part : -part) + 0.01 * trial),
    );
    expect(found.ok && found.value.pooled).toBe(false);
  });

  test('splits the total variance into its parts', () => {
    const found = gaugeStudy(
      study((part, operator, trial) => part * 2 + operator * 0.1 + 0.03 * ((trial * 7 + part * 3) % 5)),
    );
    if (!found.ok) throw new Error(found.error.message);
    const { repeatability, reproducibility, measurementSystem, part, total } = found.value.components;
    expect(repeatability.variance + reproducibility.variance).toBeCloseTo(measurementSystem.variance, 12);
    expect(measurementSystem.variance + part.variance).toBeCloseTo(total.variance, 12);
  });

  test('that is not balanced, too small or all alike is refused', () => {
    const full = study((part) => part);
    expect(gaugeStudy(full.slice(1))).toMatchObject({ ok: false, error: { code: 'study_not_balanced' } });
    expect(gaugeStudy(full.filter(({ operator }) => operator === '0'))).toMatchObject({
      ok: false,
      error: { code: 'study_too_small' },
    });
    expect(gaugeStudy(study(() => 1))).toMatchObject({ ok: false, error: { code: 'no_variation' } });
  });
});

test('a signal is told at the reading that completes it, not again after', () => {
  const signals = runSignals([2.1, 2.2, 0.3, 0.2], 'Western Electric');
  expect(signals.map(({ index }) => index)).toEqual([1]);
});
