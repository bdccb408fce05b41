import { describe, expect, it } from 'vitest';
import { limitsOnDisplay } from '../../../renderer/screens/audit/limits-on-display.ts';

const fill = {
  quantity: 'mass' as const,
  unit: 'g' as const,
  band: { unit: 'g' as const, target: 25, lower: 24.5, upper: 25.5 },
  acceptance: { lower: 24.6, upper: 25.4 },
};

describe('the limits beside the course of an indication', () => {
  it('stand above the tare for a fill weighed on a dish', () => {
    const { tolerance, acceptance } = limitsOnDisplay({
      ...fill,
      value: 25,
      indication: { text: '86.40', unit: 'g' },
      tare: { text: '61.40', unit: 'g' },
    });
    expect(tolerance.lower).toBeCloseTo(85.9, 9);
    expect(tolerance.upper).toBeCloseTo(86.9, 9);
    expect(acceptance?.lower).toBeCloseTo(86, 9);
  });

  it('are turned over for what was taken from a tube, in the unit of the display', () => {
    const { tolerance } = limitsOnDisplay({
      ...fill,
      value: 25,
      indication: { text: '0.375', unit: 'kg' },
      tare: { text: '0.400', unit: 'kg' },
    });
    expect(tolerance.lower).toBeCloseTo(0.3745, 9);
    expect(tolerance.upper).toBeCloseTo(0.3755, 9);
  });

  it('are in the unit of the wrench and through its lever for a torque', () => {
    // 20 lbf·ft at the wrench were judged as 30 N·m at the ring.
    const { tolerance } = limitsOnDisplay({
      quantity: 'torque',
      unit: 'N.m',
      band: { unit: 'N.m', target: 30, lower: 27, upper: 33 },
      acceptance: null,
      value: 30,
      indication: { text: '20.0', unit: 'lbf.ft' },
      tare: null,
    });
    expect(tolerance.lower).toBeCloseTo(18, 9);
    expect(tolerance.upper).toBeCloseTo(22, 9);
  });

  it('are left out where there is only one, or a torque of nothing', () => {
    const oneSided = limitsOnDisplay({
      ...fill,
      band: { unit: 'g', lower: 24.5 },
      acceptance: { lower: 24.6, upper: null },
      value: 25,
      indication: { text: '25.0', unit: 'g' },
      tare: null,
    });
    expect(oneSided.tolerance).toEqual({ lower: 24.5, upper: null });
    const nothing = limitsOnDisplay({
      ...fill,
      quantity: 'torque',
      value: 0,
      indication: { text: '0', unit: 'g' },
      tare: null,
    });
    expect(nothing).toEqual({ tolerance: { lower: null, upper: null }, acceptance: null });
  });
});
