import { describe, expect, test } from 'vitest';
import {
  checkWeightErrorMilligrams,
  isFineEnough,
  type WeightClass,
} from '../../shared/calibration/check-weight.ts';
import {
  classifyScale,
  isIntervalForm,
  largestIndicationGrams,
  maximumPermissibleErrorGrams,
  roundingFreeErrorGrams,
  type ScaleClass,
} from '../../shared/calibration/scale-class.ts';
import { airDensityKilogramsPerCubicMetre, buoyancyFactor } from '../../shared/mass/buoyancy.ts';
import { normalGravity, relocationFactor } from '../../shared/mass/gravity.ts';
import checkValues from '../fixtures/check-values.json' with { type: 'json' };
import { expectWithin, taken } from './nearness.ts';

const { scales } = checkValues.public;

describe('T07 permissible errors (OIML R 76-1 Tables 3 and 6, read in two stored texts, trust B)', () => {
  const scale = { accuracyClass: 'III', intervalGrams: 0.1 } as const;

  test.each([
    [0, 0.05],
    [50, 0.05],
    [50.1, 0.1],
    [200, 0.1],
    [200.1, 0.15],
    [1000, 0.15],
  ])('class III, e = 0.1 g: %f g may be off by ± %f g, in service twice that', (load, error) => {
    expect(taken(maximumPermissibleErrorGrams(scale, load, 'initial'))).toBe(error);
    expect(taken(maximumPermissibleErrorGrams(scale, load, 'in service'))).toBe(2 * error);
  });

  test('Max 1100 g with e = 0.1 g is not class III', () => {
    const refused = classifyScale({ ...scale, maximumGrams: 1100 });
    expect(refused).toMatchObject({
      ok: false,
      error: { code: 'intervals_not_in_class', field: 'maximumGrams' },
    });
    expect(taken(classifyScale({ ...scale, maximumGrams: 1000 }))).toEqual({
      intervals: 10_000,
      minimumGrams: 2,
    });
  });

  test('e = 0.3 g is refused: not 1, 2 or 5 times a power of ten', () => {
    expect(classifyScale({ ...scale, intervalGrams: 0.3, maximumGrams: 1000 })).toMatchObject({
      ok: false,
      error: { code: 'interval_form' },
    });
    expect([0.001, 0.02, 0.5, 1, 2, 5, 10, 50].every(isIntervalForm)).toBe(true);
    expect([0, -1, 0.3, 4, 15, Number.NaN, Number.POSITIVE_INFINITY].some(isIntervalForm)).toBe(false);
  });

  test('every step of Table 6 changes just above its bound', () => {
    const intervals: Readonly<Record<string, number>> = { I: 0.001, II: 0.01, III: 1, IIII: 5 };
    const factors = Object.entries(scales.R76_mpe_initial).filter(([name]) => name.endsWith('e'));
    for (const [name, byClass] of factors) {
      if (typeof byClass === 'string') continue;
      for (const [accuracyClass, bounds] of Object.entries(byClass)) {
        const e = intervals[accuracyClass]!;
        const most = bounds[1];
        if (most === null || most === undefined) continue;
        const scaleOfClass = { accuracyClass: accuracyClass as ScaleClass, intervalGrams: e };
        const errorAt = (intervals: number) =>
          maximumPermissibleErrorGrams(scaleOfClass, Number((intervals * e).toFixed(3)), 'initial');
        expectWithin(taken(errorAt(most)), Number.parseFloat(name) * e, 1e-15);
        const above = errorAt(most + 1);
        if (above.ok) expectWithin(above.value, (Number.parseFloat(name) + 0.5) * e, 1e-15);
        else expect(name).toBe('1.5e');
      }
    }
  });

  test('above the last step a load is refused', () => {
    expect(maximumPermissibleErrorGrams(scale, 1000.1, 'initial')).toMatchObject({ ok: false });
  });

  test.each([
    ['I', 0.001, 50, 0.1],
    ['II', 0.05, 5000, 1],
    ['II', 0.1, 500, 5],
    ['III', 5, 2500, 100],
    ['IIII', 5, 500, 50],
  ] as const)(
    'class %s with e = %f g and Max %f g weighs from %f g (Table 3)',
    (accuracyClass, e, max, min) => {
      const found = taken(classifyScale({ accuracyClass, intervalGrams: e, maximumGrams: max }));
      expect(found.minimumGrams).toBe(min);
    },
  );

  test('nothing may be shown above Max + 9 e', () => {
    expect(largestIndicationGrams({ ...scale, maximumGrams: 1000 })).toBe(1000.9);
  });

  test('error before rounding: e 5 g, 1000 g on it, 1.5 g added gives + 1 g (R 76-1 A.4.4.3, trust C)', () => {
    const reading = { indicationGrams: 1000, loadGrams: 1000, addedGrams: 1.5, intervalGrams: 5 };
    expect(roundingFreeErrorGrams(reading)).toBe(1);
  });
});

describe('T08 check weights (OIML R 111-1:2004 Table 1, read in two stored texts, trust B)', () => {
  test.each([
    [200, 'F2', 3.0],
    [500, 'M1', 25],
    [50, 'E2', 0.1],
    [1000, 'F1', 5],
    [100, 'M2', 16],
  ] as const)('%i g %s may be off by ± %f mg', (nominal, weightClass, error) => {
    expect(taken(checkWeightErrorMilligrams(nominal, weightClass))).toBe(error);
  });

  test('every cell of the table', () => {
    const { classes, rows_g } = scales.R111_mpe;
    for (const [nominal, errors] of Object.entries(rows_g)) {
      classes.forEach((weightClass, index) => {
        expect(taken(checkWeightErrorMilligrams(Number(nominal), weightClass as WeightClass))).toBe(
          errors[index],
        );
      });
    }
  });

  test('a nominal that is not in the table is refused', () => {
    expect(checkWeightErrorMilligrams(300, 'F1')).toMatchObject({
      ok: false,
      error: { code: 'no_such_weight' },
    });
  });

  test('a weight tests a scale when its error is a third of the scale’s or less (R 76-1 3.7.1, trust D)', () => {
    expect(isFineEnough(10, 0.1)).toBe(true);
    expect(isFineEnough(100, 0.15)).toBe(false);
  });
});

describe('T09 air buoyancy (OIML D 28 formula; 2 g of aluminium published, trust A; others computed, E)', () => {
  test('2 g shown of aluminium are 2.000 589 g', () => {
    expectWithin(2 * buoyancyFactor({ materialDensity: 2700 }), 2.000589, 5e-7);
  });

  test('100 g shown of a grease of 900 kg/m³ are 100.118 491 g', () => {
    expectWithin(100 * buoyancyFactor({ materialDensity: 900 }), 100.118491, 1e-6);
  });

  test('the factor for every density of the table; at 8000 kg/m³ there is none', () => {
    for (const [density, factor] of Object.entries(scales.buoyancy['factor_ra1.2_rc8000'])) {
      expectWithin(buoyancyFactor({ materialDensity: Number(density) }), factor, 6e-10);
    }
    expect(buoyancyFactor({ materialDensity: 8000 })).toBe(1);
  });

  test('in thinner and thicker air', () => {
    expectWithin(buoyancyFactor({ materialDensity: 900, airDensity: 1.1 }), 1.00108605, 1e-9);
    expectWithin(buoyancyFactor({ materialDensity: 900, airDensity: 1.29 }), 1.001273909, 1e-9);
  });

  test.each([
    [1013.25, 20, 50, 1.199294],
    [950, 23, 60, 1.110449],
  ])(
    'air at %f hPa, %f °C, %f %% (R 111-1 E.3, formula from memory, trust E)',
    (pressure, temperature, humidity, density) => {
      const air = {
        pressureHectopascals: pressure,
        temperatureCelsius: temperature,
        relativeHumidityPercent: humidity,
      };
      expectWithin(airDensityKilogramsPerCubicMetre(air), density, 1e-6);
    },
  );
});

describe('T10 normal gravity (GRS80, Geodesist’s Handbook 1988 as cited in stored code, trust A; moves computed, E)', () => {
  test.each([
    [0, 9.780326772],
    [45, 9.806199203],
    [90, 9.832186368],
  ])('at %i° it is %f m/s²', (latitudeDegrees, gravity) => {
    expectWithin(normalGravity({ latitudeDegrees }), gravity, 1e-9);
  });

  test.each([
    [30, 9.7932487036],
    [60, 9.819178385],
  ])('at %i° it is %f m/s² (computed apart)', (latitudeDegrees, gravity) => {
    expectWithin(normalGravity({ latitudeDegrees }), gravity, 1e-9);
  });

  test('45°, 500 m: 9.804 656 2 m/s²', () => {
    expectWithin(normalGravity({ latitudeDegrees: 45, heightMetres: 500 }), 9.8046562, 1e-7);
  });

  test('a scale adjusted at 45° shows 100.132 357 g at 60°, and 99.984 265 g up at 500 m', () => {
    expectWithin(100 * relocationFactor({ latitudeDegrees: 45 }, { latitudeDegrees: 60 }), 100.132357, 1e-5);
    const up = relocationFactor({ latitudeDegrees: 45 }, { latitudeDegrees: 45, heightMetres: 500 });
    expectWithin(100 * up, 99.984265, 1e-5);
  });
});
