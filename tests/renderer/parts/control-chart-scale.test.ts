import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decimalsFor, rangeOf, spread, ticksBetween } from '../../../renderer/parts/control-chart-scale.ts';

describe('the scale of a control chart', () => {
  it('has round steps between its ends', () => {
    expect(ticksBetween(25.88, 28.15, 5)).toEqual([26, 26.5, 27, 27.5, 28]);
    expect(ticksBetween(-0.06, 0.06, 5)).toEqual([-0.05, 0, 0.05]);
    expect(ticksBetween(1, 100, 10)).toEqual([10, 20, 30, 40, 50, 60, 70, 80, 90, 100]);
    expect(ticksBetween(0.1, 0.5, 4)).toEqual([0.1, 0.2, 0.3, 0.4, 0.5]);
    expect(ticksBetween(5, 5, 4)).toEqual([5]);
  });

  it('keeps every step inside, none twice, for any values', () => {
    const ends = fc.tuple(
      fc.double({ min: -1e4, max: 1e4, noNaN: true }),
      fc.double({ min: 1e-3, max: 1e4, noNaN: true }),
      fc.integer({ min: 1, max: 20 }),
    );
    fc.assert(
      fc.property(ends, ([lower, size, wished]) => {
        const ticks = ticksBetween(lower, lower + size, wished);
        expect(new Set(ticks).size).toBe(ticks.length);
        expect(ticks.length).toBeLessThanOrEqual(wished + 1);
        for (const tick of ticks) {
          expect(tick).toBeGreaterThanOrEqual(lower - size * 1e-6);
          expect(tick).toBeLessThanOrEqual(lower + size * (1 + 1e-6));
        }
      }),
    );
  });

  it('leaves room about readings that are all alike', () => {
    const { lower, upper } = rangeOf([27, 27]);
    expect(lower).toBeLessThan(27);
    expect(upper).toBeGreaterThan(27);
    expect(rangeOf([0])).toEqual({ lower: -1, upper: 1 });
  });

  it('moves labels apart that would cover each other, and keeps their order and the frame', () => {
    expect(spread([10, 12, 200], 19, 300)).toEqual([10, 29, 200]);
    expect(spread([290, 280], 19, 300)).toEqual([299, 280]);
    expect(spread([300, 299], 19, 300)).toEqual([300, 281]);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 300 }), { maxLength: 8 }), (wished) => {
        const places = [...spread(wished, 19, 300)].sort((a, b) => a - b);
        places.forEach((place, index) => {
          expect(place).toBeLessThanOrEqual(300);
          if (index > 0) expect(place - (places[index - 1] ?? 0)).toBeGreaterThanOrEqual(19);
        });
      }),
    );
  });

  it('prints as many decimals as tell the limits apart', () => {
    expect([decimalsFor(25.9, 28.1), decimalsFor(-0.05, 0.05), decimalsFor(0, 400)]).toEqual([2, 3, 0]);
  });
});
