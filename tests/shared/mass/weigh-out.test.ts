import { describe, expect, test } from 'vitest';
import { forecastDispensing } from '../../../shared/mass/dispensing.ts';
import { fillFraction, volumeCubicCentimetres } from '../../../shared/mass/fill.ts';
import { filledMass } from '../../../shared/mass/weigh-out.ts';

const g = (text: string) => ({ text, unit: 'g' as const });

describe('the mass of grease in the head', () => {
  test('from a dish: full less empty less what stayed on dish and tool', () => {
    const filled = filledMass({
      method: 'dish',
      empty: g('13.2'),
      full: g('98.25'),
      residue: { kind: 'weighed', clean: g('40.00'), used: g('40.35') },
    });
    expect(filled).toEqual({
      ok: true,
      value: { text: '84.70', value: 84.7, unit: 'g', residue: 0.35, weighings: 4 },
    });
  });

  test('from a tube: before less after less an entered residue', () => {
    const filled = filledMass({
      method: 'difference',
      before: g('412.3'),
      after: g('330.1'),
      residue: { kind: 'entered', amount: g('0.4') },
    });
    expect(filled).toMatchObject({ ok: true, value: { text: '81.8', residue: 0.4, weighings: 2 } });
  });

  test('from the housing on the scale, weighings in two units', () => {
    const filled = filledMass({
      method: 'housing',
      before: g('1250.5'),
      after: { text: '1.3305', unit: 'kg' },
    });
    expect(filled).toMatchObject({ ok: true, value: { text: '0.0800', value: 0.08, unit: 'kg' } });
  });

  test('weighings the wrong way round are refused', () => {
    expect(filledMass({ method: 'housing', before: g('90'), after: g('80') })).toMatchObject({
      ok: false,
      error: { code: 'negative_mass' },
    });
  });

  test('text that is no number, and a torque, are refused', () => {
    expect(filledMass({ method: 'dish', empty: g('x'), full: g('1') })).toMatchObject({
      ok: false,
      error: { field: 'empty' },
    });
    expect(filledMass({ method: 'dish', empty: { text: '1', unit: 'N.m' }, full: g('1') })).toMatchObject({
      ok: false,
      error: { field: 'empty.unit' },
    });
  });
});

test('volume and fill: 9 g at 0.9 g/cm³ is 10 cm³, 0.4 of 25', () => {
  expect(volumeCubicCentimetres(9, 0.9)).toBeCloseTo(10, 12);
  expect(fillFraction(9, 0.9, 25)).toBeCloseTo(0.4, 12);
});

describe('help while dispensing', () => {
  const steady = Array.from({ length: 20 }, (_, index) => ({
    atMilliseconds: index * 100,
    grams: index * 0.2,
  }));

  test('a steady 2 g/s reaches 10 g in 3.1 s, and stops 1 g early for half a second of lag', () => {
    const forecast = forecastDispensing(steady, 10, 0.5);
    expect(forecast.gramsPerSecond).toBeCloseTo(2, 12);
    expect(forecast.secondsToTarget).toBeCloseTo(3.1, 12);
    expect(forecast.expectedOvershootGrams).toBeCloseTo(1, 12);
    expect(forecast.stopAtGrams).toBeCloseTo(9, 12);
  });

  test('an old squeeze does not count: only the last one and a half seconds do', () => {
    const stopped = [
      ...steady,
      ...Array.from({ length: 20 }, (_, index) => ({ atMilliseconds: 2000 + index * 100, grams: 4 })),
    ];
    expect(forecastDispensing(stopped, 10, 0.5)).toMatchObject({
      gramsPerSecond: 0,
      secondsToTarget: null,
      expectedOvershootGrams: 0,
    });
  });

  test('past the target, running back, or without readings there is no time to it', () => {
    expect(forecastDispensing(steady, 3, 0.5).secondsToTarget).toBeNull();
    expect(
      forecastDispensing(
        [...steady].map(({ atMilliseconds, grams }) => ({ atMilliseconds, grams: -grams })),
        3,
        0.5,
      ),
    ).toMatchObject({
      secondsToTarget: null,
      expectedOvershootGrams: 0,
    });
    expect(forecastDispensing([], 3, 0.5)).toMatchObject({ gramsPerSecond: 0, secondsToTarget: null });
    expect(forecastDispensing(steady.slice(0, 1), 3, 0.5).gramsPerSecond).toBe(0);
  });
});
