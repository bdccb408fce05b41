import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { gaugeScale } from '../../../renderer/parts/gauge-scale.ts';

const value = fc.double({ min: -1000, max: 1000, noNaN: true });
const limits = fc
  .tuple(value, fc.double({ min: 0.001, max: 500, noNaN: true }))
  .map(([lower, width]) => ({ lower, upper: lower + width }));

describe('the scale of the band gauge', () => {
  it('never hangs the plumb lower for a higher value', () => {
    fc.assert(
      fc.property(limits, value, value, ({ lower, upper }, one, other) => {
        const scale = gaugeScale(lower, upper, null);
        const [less, more] = one < other ? [one, other] : [other, one];
        expect(scale.place(less)).toBeLessThanOrEqual(scale.place(more) + 1e-12);
      }),
    );
  });

  it('keeps the plumb on the gauge whatever the value', () => {
    fc.assert(
      fc.property(limits, value, ({ lower, upper }, at) => {
        const place = gaugeScale(lower, upper, null).place(at);
        expect(place).toBeGreaterThan(0);
        expect(place).toBeLessThan(1);
      }),
    );
  });

  it('draws the band at the same place and size for every band', () => {
    fc.assert(
      fc.property(limits, ({ lower, upper }) => {
        const scale = gaugeScale(lower, upper, null);
        expect(scale.place(lower)).toBeCloseTo(0.3, 9);
        expect(scale.place(upper)).toBeCloseTo(0.76, 9);
      }),
    );
  });

  it('has room on both sides of a single limit', () => {
    const atLeast = gaugeScale(27, null, null);
    expect(atLeast.place(20)).toBeLessThan(atLeast.place(27));
    expect(atLeast.place(40)).toBeGreaterThan(atLeast.place(27));
    const atMost = gaugeScale(null, 82, null);
    expect(atMost.place(90)).toBeGreaterThan(atMost.place(82));
  });
});
