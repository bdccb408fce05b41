import { describe, expect, it } from 'vitest';
import type { Band } from '../../../shared/acceptance/band.ts';
import { type ProcessReading, studyProcess } from '../../../shared/statistics/process-study.ts';

const band: Band = { target: 50, lower: 45, upper: 55, unit: 'g' };

function readings(values: readonly number[], own: Band = band): ProcessReading[] {
  return values.map((value) => ({ value, unit: own.unit, band: own }));
}

describe('the study of a process', () => {
  it('gives the limits of the published individuals chart (NIST/SEMATECH e-Handbook 6.3.2.2, flow rates)', () => {
    // Data and limits as printed there; it divides by 1.128, d2 rounded.
    const flow = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
    const { chart, signals, basis, unit } = studyProcess(readings(flow), 'Western Electric');
    expect([basis, unit]).toEqual(['value', 'g']);
    expect(chart?.individuals.centre).toBeCloseTo(50.81, 9);
    expect(chart?.movingRange.centre).toBeCloseTo(1.8778, 4);
    expect(Math.abs((chart?.individuals.upper ?? 0) - 55.8041)).toBeLessThan(0.002);
    expect(Math.abs((chart?.individuals.lower ?? 0) - 45.8159)).toBeLessThan(0.002);
    expect(signals).toEqual([]);
  });

  it('marks a reading beyond three standard deviations by the name of the rule, and the jump in the ranges', () => {
    const values = [50, 50.2, 49.9, 50.1, 49.8, 50.2, 50, 49.9, 50.1, 50, 54.9, 50.1];
    const { signals, rangeSignals } = studyProcess(readings(values), 'Western Electric');
    expect(signals).toContainEqual({ rule: '1 beyond 3 standard deviations', index: 10 });
    expect(rangeSignals).toEqual([9, 10]);
  });

  it('finds a slow drift by the eight in a row of one set and the nine of the other', () => {
    const values = [50.2, 49.8, 50.2, 49.8, 50.2, 49.8, 50.2, 49.8, ...Array<number>(8).fill(50.05), 50.06];
    const rulesAt = (set: 'Western Electric' | 'Nelson', count: number) =>
      studyProcess(readings(values.slice(0, count)), set).signals.map(({ rule }) => rule);
    expect(rulesAt('Western Electric', 16)).toContain('8 in a row on one side');
    expect(rulesAt('Nelson', 16)).not.toContain('9 in a row on one side');
    expect(rulesAt('Nelson', 17)).toContain('9 in a row on one side');
  });

  it('takes the deviation from each target where heads have bands of their own', () => {
    const other: Band = { target: 30, lower: 25, upper: 35, unit: 'g' };
    const mixed = [...readings([50.1, 49.9]), ...readings([30.2, 29.9], other)];
    const study = studyProcess(mixed, 'Nelson');
    expect(study.basis).toBe('deviation');
    expect(study.values.map((value) => Number(value.toFixed(9)))).toEqual([0.1, -0.1, 0.2, -0.1]);
    expect(study.specification).toEqual({ lower: -5, upper: 5, target: 0 });
    expect(study.capability?.worst.value).toBeGreaterThan(5);
  });

  it('gives no capability where the bands have nothing in common, but still a chart', () => {
    const tight: Band = { target: 30, lower: 29, upper: 31, unit: 'g' };
    const study = studyProcess([...readings([50.1, 49.9]), ...readings([30.2, 29.9], tight)], 'Nelson');
    expect(study.specification).toBeNull();
    expect([study.capability, study.performance]).toEqual([null, null]);
    expect(study.chart).not.toBeNull();
  });

  it('brings readings in another unit to that of the newest one', () => {
    const kilograms: Band = { target: 0.05, lower: 0.045, upper: 0.055, unit: 'kg' };
    const study = studyProcess([...readings([0.0501], kilograms), ...readings([49.9])], 'Nelson');
    expect([study.basis, study.unit]).toEqual(['value', 'g']);
    expect(study.values[0]).toBeCloseTo(50.1, 9);
  });

  it('says nothing of one reading, and gives no signal or index where nothing ever changes', () => {
    expect(studyProcess(readings([50]), 'Nelson')).toMatchObject({ chart: null, capability: null });
    expect(studyProcess([], 'Nelson')).toMatchObject({ chart: null, specification: null, values: [] });
    const still = studyProcess(readings([50, 50, 50]), 'Nelson');
    expect(still).toMatchObject({ signals: [], capability: null, performance: null });
    expect(still.chart?.individuals).toEqual({ centre: 50, lower: 50, upper: 50 });
  });
});
