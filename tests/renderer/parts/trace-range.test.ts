import { describe, expect, it } from 'vitest';
import { verticalRange } from '../../../renderer/parts/trace-range.ts';

const band = { lower: 9.1, upper: 9.9 };

describe('the scale of a course', () => {
  it('stands still while the value is below or a little above its band', () => {
    const still = verticalRange(0, 3, band);
    expect(verticalRange(0, 10.3, band)).toEqual(still);
    expect(still[0]).toBe(0);
    expect(still[1]).toBeGreaterThan(9.9);
  });

  it('keeps the band in sight when the dish is taken off or a hand rests on the pan', () => {
    for (const [least, most] of [
      [-52.3, 9.5],
      [0, 1320.7],
    ] as const) {
      const [bottom, top] = verticalRange(least, most, band);
      expect((band.upper - band.lower) / (top - bottom)).toBeGreaterThan(0.03);
      expect(bottom).toBeLessThanOrEqual(0);
      expect(top).toBeGreaterThan(band.upper);
    }
  });

  it('has a height where there is one limit alone, or a band around nothing', () => {
    for (const limits of [
      { lower: 5, upper: null },
      { lower: null, upper: 5 },
      { lower: -1, upper: 0 },
    ]) {
      const [bottom, top] = verticalRange(null, null, limits);
      expect(top).toBeGreaterThan(bottom);
    }
  });
});
