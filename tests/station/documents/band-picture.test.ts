import fc from 'fast-check';
import { expect, test } from 'vitest';
import { bandPictureOf } from '../../../electron/station/documents/band-picture.ts';
import { type Judgement, judge } from '../../../shared/acceptance/judgement.ts';

function judged(value: number, band: { lower?: number; upper?: number }, expanded: number): Judgement {
  const result = judge({
    quantity: 'torque',
    reading: { value, unit: 'N.m' },
    band: { ...band, unit: 'N.m' },
    uncertainty: { expanded, k: 2, unit: 'N.m' },
    rule: { kind: 'guarded', factor: 1, source: 'test' },
  });
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

test('the picture keeps the order of value, limits and zone', () => {
  const bands = fc.constantFrom({ lower: 25.92, upper: 28.08 }, { lower: 25.92 }, { upper: 28.08 });
  fc.assert(
    fc.property(
      fc.double({ min: -100, max: 200, noNaN: true }),
      fc.double({ min: 1e-3, max: 5, noNaN: true }),
      bands,
      (value, expanded, band) => {
        const judgement = judged(value, band, expanded);
        const picture = bandPictureOf(judgement, 27, String);
        const { tolerance, acceptance, marker, uncertainty } = picture;
        const inTolerance = marker.at >= tolerance.from && marker.at <= tolerance.to;
        if (judgement.decision.endsWith('pass')) expect(inTolerance).toBe(true);
        const isPastLimit =
          (marker.beyond === 'left' && band.lower !== undefined) ||
          (marker.beyond === 'right' && band.upper !== undefined);
        if (isPastLimit) expect(judgement.decision).toMatch(/fail$/);
        if (acceptance !== null) {
          expect(acceptance.from).toBeGreaterThanOrEqual(tolerance.from);
          expect(acceptance.to).toBeLessThanOrEqual(tolerance.to);
        }
        expect(uncertainty.from).toBeLessThanOrEqual(marker.at);
        expect(uncertainty.to).toBeGreaterThanOrEqual(marker.at);
        for (const at of [tolerance.from, tolerance.to, marker.at, uncertainty.from, uncertainty.to]) {
          expect(at >= 0 && at <= 1).toBe(true);
        }
      },
    ),
  );
});

test('distances in the picture are true to scale', () => {
  const picture = bandPictureOf(judged(27, { lower: 26, upper: 28 }, 0.25), 27, String);
  const width = picture.tolerance.to - picture.tolerance.from;
  expect(picture.marker.at).toBeCloseTo(picture.tolerance.from + width / 2, 12);
  expect(picture.uncertainty.to - picture.uncertainty.from).toBeCloseTo(width / 4, 12);
  expect(picture.acceptance!.from - picture.tolerance.from).toBeCloseTo(width / 8, 12);
  expect(picture.target!.at).toBeCloseTo(picture.marker.at, 12);
});

test('a value far outside is pointed at from the edge, and says its value', () => {
  const picture = bandPictureOf(judged(95, { lower: 26, upper: 28 }, 0.25), null, String);
  expect(picture.marker).toEqual({ at: 1, text: '95', decision: 'fail', beyond: 'right' });
});

test('a band without an acceptance zone has none in the picture', () => {
  const picture = bandPictureOf(judged(27, { lower: 26, upper: 28 }, 3), null, String);
  expect(picture.acceptance).toBeNull();
  expect(picture.acceptanceTicks).toEqual([]);
});
