import { describe, expect, test } from 'vitest';
import {
  calibrationState,
  certificateSchema,
  correctIndication,
  daysBetween,
} from '../../../shared/calibration/certificate.ts';
import { parseDecimal } from '../../../shared/quantity/decimal-text.ts';
import { toNumber } from '../../../shared/quantity/rational.ts';
import type { Unit } from '../../../shared/quantity/unit.ts';

const file = {
  number: 'INV-7',
  provider: 'Invented laboratory',
  reference: 'Invented set of weights, F1',
  date: '2026-03-01',
  due: '2027-03-01',
  unit: 'g',
  asLeft: [
    { reference: 100, indication: 100.1, expanded: 0.02, k: 2 },
    { reference: 0, error: 0, expanded: 0.01, k: 2 },
    { indication: 200.4, error: 0.4, expanded: 0.06, k: 2 },
  ],
};
const certificate = certificateSchema.parse(file);

function corrected(text: string, unit: Unit = 'g') {
  return correctIndication(certificate, certificate.asLeft, parseDecimal(text)!, unit);
}

describe('a calibration certificate', () => {
  test('is read with two of indication, reference and error, in rising order', () => {
    expect(certificate.asLeft.map(({ indication, reference }) => [indication, reference])).toEqual([
      [0, 0],
      [100.1, 100],
      [200.4, 200],
    ]);
    expect(certificate.asFound).toEqual(certificate.asLeft);
  });

  test('corrects on a point by its error, without linearity', () => {
    const found = corrected('100.1');
    if (!found.ok) throw new Error(found.error.message);
    expect(toNumber(found.value.corrected)).toBe(100);
    expect(toNumber(found.value.correction)).toBe(-0.1);
    expect(found.value.linearityHalfWidth).toBe(0);
    expect(found.value.standardUncertainty).toBe(0.01);
  });

  test('corrects between points along a straight line, with the larger uncertainty of the two', () => {
    const found = corrected('150.25');
    if (!found.ok) throw new Error(found.error.message);
    expect(toNumber(found.value.correction)).toBe(-0.25);
    expect(toNumber(found.value.corrected)).toBe(150);
    expect(found.value.standardUncertainty).toBe(0.03);
    expect(found.value.linearityHalfWidth).toBe(0.15);
  });

  test('corrects an indication in another unit', () => {
    const found = corrected('0.1001', 'kg');
    expect(found.ok && toNumber(found.value.corrected)).toBe(100);
  });

  test.each(['-0.1', '200.5'])('refuses %s g: outside the calibrated range it says nothing', (text) => {
    expect(corrected(text)).toMatchObject({ ok: false, error: { code: 'outside_calibration_range' } });
  });

  test.each([
    ['2026-02-28T23:59:59Z', 'not yet valid'],
    ['2026-03-01T00:00:00Z', 'valid'],
    ['2027-01-29', 'valid'],
    ['2027-01-30', 'due soon'],
    ['2027-03-01T23:59:00+01:00', 'due soon'],
    ['2027-03-02T00:00:00Z', 'out of date'],
  ])('on %s it is %s', (at, state) => {
    expect(calibrationState(certificate, at)).toBe(state);
  });

  test('days are counted by the calendar, over leap days and times', () => {
    expect(daysBetween('2028-02-28', '2028-03-01T01:00:00Z')).toBe(2);
    expect(daysBetween('2026-03-02', '2026-03-01')).toBe(-1);
  });

  test.each([
    ['a day that is none', { date: '2026-02-30' }],
    ['a date written otherwise', { date: '1.3.2026' }],
    ['due before the date', { due: '2026-02-01' }],
    ['no points', { asLeft: [] }],
    ['a point with one value', { asLeft: [{ reference: 1, expanded: 1, k: 2 }] }],
    ['a point with three values', { asLeft: [{ reference: 1, indication: 1, error: 0, expanded: 1, k: 2 }] }],
    ['a point without uncertainty', { asLeft: [{ reference: 1, error: 0, expanded: 0, k: 2 }] }],
    [
      'the same indication twice',
      {
        asLeft: [
          { reference: 1, indication: 1, expanded: 1, k: 2 },
          { reference: 2, indication: 1, expanded: 1, k: 2 },
        ],
      },
    ],
  ])('is refused with %s', (_, part) => {
    expect(certificateSchema.safeParse({ ...file, ...part }).success).toBe(false);
  });
});
