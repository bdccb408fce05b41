import chiSquareQuantileOracle from '@stdlib/stats-base-dists-chisquare-quantile';
import fisherCdfOracle from '@stdlib/stats-base-dists-f-cdf';
import normalCdfOracle from '@stdlib/stats-base-dists-normal-cdf';
import normalQuantileOracle from '@stdlib/stats-base-dists-normal-quantile';
import studentQuantileOracle from '@stdlib/stats-base-dists-t-quantile';
import Decimal from 'decimal.js';
import { describe, expect, test } from 'vitest';
import {
  chiSquareQuantile,
  fisherUpperTail,
  studentQuantile,
} from '../../shared/statistics/distributions.ts';
import { normalCdf, normalInterval, normalQuantile } from '../../shared/statistics/normal.ts';
import { expectRelative, expectWithin } from './nearness.ts';

/** Φ(−z) for z > 0 with 60 digits: Laplace's continued fraction, deep enough for every z here. */
function upperTailInDecimal(z: number): Decimal {
  const D = Decimal.clone({ precision: 60 });
  const x = new D(z);
  let fraction = x;
  for (let depth = Math.ceil(6000 / (z * z)) + 60; depth >= 1; depth -= 1) {
    fraction = x.plus(new D(depth).div(fraction));
  }
  const density = x.times(x).div(-2).exp().div(D.acos(-1).times(2).sqrt());
  return density.div(fraction);
}

describe('distributions against @stdlib and 60-digit arithmetic', () => {
  test('normal probabilities agree with @stdlib within 1e-13, both tails', () => {
    for (let z = -37; z <= 8.5; z += 0.173) {
      const expected = normalCdfOracle(z, 0, 1);
      expectRelative(normalCdf(z), expected, z < -8 ? 2e-13 : 1e-13);
    }
  });

  test('far tails keep twelve digits and more: 60-digit arithmetic', () => {
    for (const z of [1.01, 1.5, 2, 3.0902, 4.75, 6, 9.3, 15, 22.4, 30, 36.9]) {
      const expected = upperTailInDecimal(z);
      const error = new Decimal(normalCdf(-z)).minus(expected).div(expected).abs().toNumber();
      expect(error, `z = ${z}`).toBeLessThan(1e-13);
    }
  });

  test('the normal quantile agrees with @stdlib and turns back', () => {
    // Further out @stdlib's rational approximation keeps six digits only; the turn back below judges there.
    for (const p of [0.001, 0.02275, 0.3, 0.5, 0.8, 0.95, 0.999, 0.999999999]) {
      expectWithin(normalQuantile(p), normalQuantileOracle(p, 0, 1), 1e-9);
    }
    for (const p of [1e-300, 1e-100, 1e-12, 0.001, 0.3, 0.5, 0.95, 0.999999999]) {
      expectRelative(normalCdf(normalQuantile(p)), p, 1e-12);
    }
  });

  test('a narrow interval far out is not lost in the difference of two ones', () => {
    const expected = upperTailInDecimal(9).minus(upperTailInDecimal(9.1)).toNumber();
    expectRelative(normalInterval(9, 9.1), expected, 1e-12);
    expectRelative(normalInterval(-9.1, -9), expected, 1e-12);
  });

  test('Student’s quantile agrees with @stdlib, whole and broken degrees of freedom', () => {
    for (const freedom of [1, 1.5, 2, 3, 4.7, 8, 16.76, 30, 120, 5000]) {
      for (const p of [0.6, 0.9, 0.95, 0.97725, 0.99, 0.99865]) {
        expectRelative(studentQuantile(p, freedom), studentQuantileOracle(p, freedom), 1e-9);
      }
    }
  });

  test('chi-square quantile and Fisher’s tail agree with @stdlib', () => {
    for (const freedom of [1, 4, 9, 49, 499]) {
      for (const p of [0.025, 0.5, 0.975]) {
        expectRelative(chiSquareQuantile(p, freedom), chiSquareQuantileOracle(p, freedom), 1e-9);
      }
    }
    for (const f of [0.2, 1.18046237440255, 4.6, 30]) {
      expectWithin(fisherUpperTail(f, 4, 20), 1 - fisherCdfOracle(f, 4, 20), 1e-12);
    }
  });

  test('outside 0…1 there is no quantile', () => {
    for (const p of [0, 1, -0.1, Number.NaN]) expect(() => normalQuantile(p)).toThrow(RangeError);
  });
});
