import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { insideText, missingText } from '../../../renderer/parts/limit-decimals.ts';

describe('a limit of the acceptance zone on the screen', () => {
  it('is rounded into the zone, and stays where it needs no rounding', () => {
    expect(insideText(9.8773, 'upper', 2)).toBe('9.87');
    expect(insideText(9.1227, 'lower', 2)).toBe('9.13');
    expect(insideText(9.1, 'lower', 2)).toBe('9.10');
    expect(insideText(0.3, 'upper', 1)).toBe('0.3');
    expect(insideText(-0.001, 'lower', 2)).toBe('0.00');
  });

  it('is never one that would not be accepted', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5000, max: 5000, noNaN: true }),
        fc.integer({ min: 1, max: 4 }),
        (limit, decimals) => {
          expect(Number(insideText(limit, 'upper', decimals))).toBeLessThanOrEqual(limit + 1e-9);
          expect(Number(insideText(limit, 'lower', decimals))).toBeGreaterThanOrEqual(limit - 1e-9);
        },
      ),
    );
  });
});

describe('what is missing to the zone', () => {
  it('is enough when it is added, and never nothing', () => {
    expect(missingText(0.0027, 2)).toBe('0.01');
    expect(missingText(-0.42, 2)).toBe('0.42');
    expect(missingText(-4.0227, 2)).toBe('4.03');
  });
});
