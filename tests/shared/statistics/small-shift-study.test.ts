import { describe, expect, it } from 'vitest';
import { type ProcessReading, studyProcess } from '../../../shared/statistics/process-study.ts';
import { smallShiftStudy } from '../../../shared/statistics/small-shift-study.ts';

const band = { target: 50, lower: 45, upper: 55, unit: 'g' as const };
const zone = { standardUncertainty: 0.1, acceptance: { lower: 45.2, upper: 54.8 } };

function studyOf(values: readonly number[], own: ProcessReading['zone'] = zone) {
  return studyProcess(
    values.map((value) => ({ value, unit: 'g', band, zone: own })),
    'Western Electric',
  );
}

/** Up and down about a centre, so that the moving range is 0.4 everywhere. */
const wave = (centre: number, count: number) =>
  Array.from({ length: count }, (_, index) => centre + (index % 2 === 0 ? 0.2 : -0.2));

describe('charts for a small lasting shift', () => {
  const shifted = studyOf([...wave(50, 20), ...wave(51.2, 20)]);

  it('mark it on both sides of the mean', () => {
    const small = smallShiftStudy(shifted);
    expect(small?.ewma.signals.length).toBeGreaterThan(0);
    expect(small?.cusum.signals.length).toBeGreaterThan(0);
    // Mean 50.6, s = (38 · 0.4 + |51.4 − 49.8|) / 39 / 1.128: by hand.
    const s = (38 * 0.4 + 1.6) / 39 / 1.1283791670955126;
    expect(small?.cusum.limit).toBeCloseTo(4 * s, 9);
    expect(small?.ewma.limits.upper).toBeCloseTo(50.6 + 3 * s * Math.sqrt(0.2 / 1.8), 9);
    expect(small?.ewma.values[0]).toBeCloseTo(0.2 * 50.2 + 0.8 * 50.6, 9);
    expect(small?.cusum.low[0]).toBeCloseTo(Math.max(0, 50.6 - 50.2 - s / 2), 9);
  });

  it('are silent about readings that only scatter, and about those that never change', () => {
    const quiet = smallShiftStudy(studyOf(wave(50, 40)));
    expect([quiet?.ewma.signals, quiet?.cusum.signals]).toEqual([[], []]);
    expect(smallShiftStudy(studyOf([50, 50, 50]))).toBeNull();
    expect(smallShiftStudy(studyOf([50]))).toBeNull();
  });
});

describe('the risks of the decisions for a process', () => {
  it('take the measuring off the scatter of the readings', () => {
    const { risk, overall } = studyOf([44.9, 46, 48, 50, 52, 54, 55.1, 50, 49, 51]);
    const s = overall?.standardDeviation ?? 0;
    expect(risk?.standardDeviation).toBeCloseTo(Math.sqrt(s * s - 0.01), 12);
    expect(risk?.consumer).toBeGreaterThan(0);
    expect(risk?.producer).toBeGreaterThan(risk?.consumer ?? 1);
    expect((risk?.conforming ?? 0) - (risk?.producer ?? 0) + (risk?.consumer ?? 0)).toBeCloseTo(
      risk?.accepted ?? 1,
      9,
    );
  });

  it('are not said where the measuring explains all of the scatter, or nothing could be accepted', () => {
    expect(studyOf(wave(50, 10), { ...zone, standardUncertainty: 1 }).risk).toBeNull();
    expect(studyOf(wave(50, 10), { ...zone, acceptance: null }).risk).toBeNull();
  });

  it('are the same for deviations from the targets of two heads alike', () => {
    const values = [49, 50, 51, 50.5, 49.5, 50.2];
    const one = studyOf(values);
    const other = { target: 30, lower: 25, upper: 35, unit: 'g' as const };
    const mixed = studyProcess(
      values.map((value, index) =>
        index % 2 === 0
          ? {
              value: value - 20,
              unit: 'g',
              band: other,
              zone: { ...zone, acceptance: { lower: 25.2, upper: 34.8 } },
            }
          : { value, unit: 'g', band, zone },
      ),
      'Nelson',
    );
    expect(mixed.basis).toBe('deviation');
    expect(mixed.risk?.consumer).toBeCloseTo(one.risk?.consumer ?? 0, 12);
    expect(mixed.risk?.producer).toBeCloseTo(one.risk?.producer ?? 0, 12);
  });
});
