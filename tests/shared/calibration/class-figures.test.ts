import { describe, expect, it } from 'vitest';
import { classFigures } from '../../../shared/calibration/class-figures.ts';
import type { InstrumentMetrology } from '../../../shared/calibration/metrology.ts';

const scale = (resolution: number, upTo: number): InstrumentMetrology => ({
  quantity: 'mass',
  unit: 'g',
  ranges: [{ upTo, resolution }],
});
const wrench: InstrumentMetrology = {
  quantity: 'torque',
  unit: 'N.m',
  ranges: [{ upTo: 60, resolution: 0.1 }],
  maximumPermissibleError: { kind: 'relative', fraction: 0.04 },
};

describe('what the class of an instrument says', () => {
  it('gives intervals, least load and permissible error of a scale (OIML R 76-1, Tables 3 and 6)', () => {
    // e = 0.01 g from 0.001 to 0.05 g in class II: Min 20 e; 62 000 e lie beyond 20 000 e: ± 1.5 e, in service twice that.
    expect(classFigures(scale(0.01, 620), 'II')).toEqual({
      kind: 'scale',
      accuracyClass: 'II',
      refusal: null,
      intervals: 62_000,
      minimumGrams: 0.2,
      permissibleAtMaximumGrams: 0.03,
    });
  });

  it('says where a scale cannot be of the class that it is marked with', () => {
    expect(classFigures(scale(0.01, 3200), 'II')).toMatchObject({
      refusal: { code: 'intervals_not_in_class' },
      intervals: null,
    });
    expect(classFigures(scale(0.01, 620), null)).toBeNull();
  });

  it('gives the test points of a wrench and whether its step is fine enough there', () => {
    // A quarter of 4 % of 12 N·m is 0.12 N·m.
    expect(classFigures(wrench, null)).toEqual({
      kind: 'wrench',
      proposed: null,
      testPoints: [12, 36, 60],
      isStepFineEnough: true,
    });
    expect(classFigures({ ...wrench, ranges: [{ upTo: 60, resolution: 0.2 }] }, 'II A')).toMatchObject({
      proposed: { percent: 4 },
      isStepFineEnough: false,
    });
  });
});
