import { describe, expect, it } from 'vitest';
import { fuzz, tableOf } from './surface.ts';
import { parseCsv } from './surfaces/csv.ts';
import { costlyLines, matchMilliseconds } from './surfaces/profiles.ts';
import { surfaces } from './surfaces.ts';

// The short run of `npm run fuzz`: always the same inputs, as many of them as the time allows.
const milliseconds = 600;
const seed = 20_260_302;

describe('hostile inputs', { timeout: 60_000 }, () => {
  for (const surface of surfaces) {
    it(`${surface.name}: ${surface.holds}`, async () => {
      const { finding, inputs } = await fuzz(surface, { milliseconds, seed });
      expect(finding).toBeNull();
      expect(inputs).toBeGreaterThan(0);
    });
  }
});

describe('the fuzzer itself', () => {
  it('sees a pattern that hangs', () => {
    const hangs = costlyLines(96).some((line) => matchMilliseconds('(a+)+b', line, 300) >= 300);
    expect(hangs).toBe(true);
    expect(matchMilliseconds('a+b', 'a'.repeat(96), 300)).toBeLessThan(300);
  });

  it('reads CSV as RFC 4180 says, with its own eyes', () => {
    expect(parseCsv('a,b\r\n"1 ""x"", y","2\r\n3"\r\n,\r\n', ',')).toEqual([
      ['a', 'b'],
      ['1 "x", y', '2\r\n3'],
      ['', ''],
    ]);
  });

  it('counts inputs and shows what was found', async () => {
    const fc = await import('fast-check');
    const surface = {
      name: 'invented',
      holds: 'no number above 100',
      open: async () => ({ property: fc.property(fc.nat(10_000), (number) => number <= 100) }),
    };
    const result = await fuzz(surface, { milliseconds: 1000, seed: 1 });
    expect(result.finding).toMatch(/^\[101\]/);
    expect(tableOf([result]).split('\n')[1]).toMatch(/^invented +\d+ +\d+\.\d +1 +no number above 100$/);
  });
});
