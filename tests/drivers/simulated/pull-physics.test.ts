import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { aimPull, momentOfPull, planPull } from '../../../drivers/simulated/physics/pull-physics.ts';
import { createRandom } from '../../../drivers/simulated/random.ts';

describe('a simulated pull', () => {
  test('rises to exactly its peak, never above, and ends at nothing', () => {
    fc.assert(
      fc.property(fc.integer(), fc.double({ min: -200, max: 200, noNaN: true }), (seed, peak) => {
        const random = createRandom(seed);
        const plan = planPull(peak, random);
        let highest = 0;
        let seconds = 0;
        let phase = 'rising';
        while (phase !== 'over') {
          seconds += 0.02;
          const moment = momentOfPull(plan, seconds, random);
          highest = Math.max(highest, Math.abs(moment.torqueNewtonMetres));
          phase = moment.phase;
        }
        expect(highest).toBe(Math.abs(peak));
        expect(seconds).toBeLessThan(3);
        expect(momentOfPull(plan, seconds, random).torqueNewtonMetres).toBe(0);
      }),
    );
  });

  test('ten samples a second are enough to catch its peak', () => {
    for (let seed = 1; seed <= 100; seed += 1) {
      const random = createRandom(seed);
      const plan = planPull(27, random);
      const start = random.next() / 10;
      const samples = Array.from({ length: 30 }, (_, n) => momentOfPull(plan, start + n / 10, random));
      expect(Math.max(...samples.map((sample) => sample.torqueNewtonMetres))).toBe(27);
    }
  });

  test('scatters about its target as asked for', () => {
    const random = createRandom(3);
    const peaks = Array.from({ length: 5000 }, () => aimPull(27, 0.02, random));
    const mean = peaks.reduce((sum, peak) => sum + peak, 0) / peaks.length;
    const deviation = Math.sqrt(peaks.reduce((sum, peak) => sum + (peak - mean) ** 2, 0) / peaks.length);
    // Five standard errors of the mean and of the deviation.
    expect(Math.abs(mean - 27)).toBeLessThan((5 * 0.54) / Math.sqrt(5000));
    expect(Math.abs(deviation - 0.54)).toBeLessThan((5 * 0.54) / Math.sqrt(2 * 5000));
  });
});
