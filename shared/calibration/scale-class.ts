import { z } from 'zod';
import { rationalOfNumber } from '../quantity/decimal-text.ts';
import {
  add,
  compare,
  divide,
  multiply,
  type Rational,
  rational,
  subtract,
  toNumber,
} from '../quantity/rational.ts';
import { ok, type Result, refuse } from '../result.ts';

export const scaleClassSchema = z.enum(['I', 'II', 'III', 'IIII']);
/** Accuracy class of a non-automatic weighing instrument, OIML R 76-1. */
export type ScaleClass = z.infer<typeof scaleClassSchema>;

/** A scale as marked: class, verification scale interval e and capacity. */
export interface MarkedScale {
  readonly accuracyClass: ScaleClass;
  readonly intervalGrams: number;
  readonly maximumGrams: number;
}

interface ClassRow {
  readonly fromIntervalGrams: number;
  readonly toIntervalGrams: number;
  readonly leastIntervals: number;
  readonly mostIntervals: number;
  /** Minimum capacity in intervals. */
  readonly minimum: number;
}

const unbounded = Number.POSITIVE_INFINITY;

/** OIML R 76-1 Table 3 (two stored texts; French decree 91-330 Annexe I Table 1 has the same numbers). */
const classRows: Readonly<Record<ScaleClass, readonly ClassRow[]>> = {
  I: [
    {
      fromIntervalGrams: 0.001,
      toIntervalGrams: unbounded,
      leastIntervals: 50_000,
      mostIntervals: unbounded,
      minimum: 100,
    },
  ],
  II: [
    {
      fromIntervalGrams: 0.001,
      toIntervalGrams: 0.05,
      leastIntervals: 100,
      mostIntervals: 100_000,
      minimum: 20,
    },
    {
      fromIntervalGrams: 0.1,
      toIntervalGrams: unbounded,
      leastIntervals: 5000,
      mostIntervals: 100_000,
      minimum: 50,
    },
  ],
  III: [
    { fromIntervalGrams: 0.1, toIntervalGrams: 2, leastIntervals: 100, mostIntervals: 10_000, minimum: 20 },
    {
      fromIntervalGrams: 5,
      toIntervalGrams: unbounded,
      leastIntervals: 500,
      mostIntervals: 10_000,
      minimum: 20,
    },
  ],
  IIII: [
    {
      fromIntervalGrams: 5,
      toIntervalGrams: unbounded,
      leastIntervals: 100,
      mostIntervals: 1000,
      minimum: 10,
    },
  ],
};

/** Loads in intervals up to which ± 0.5 e, ± 1 e and ± 1.5 e hold, inclusive: OIML R 76-1 Table 6. */
const errorSteps: Readonly<Record<ScaleClass, readonly [number, number, number]>> = {
  I: [50_000, 200_000, unbounded],
  II: [5000, 20_000, 100_000],
  III: [500, 2000, 10_000],
  IIII: [50, 200, 1000],
};

/** True for 1, 2 or 5 times a power of ten: the form that R 76-1 asks of e and d (decree 91-330, 2.2). */
export function isIntervalForm(intervalGrams: number): boolean {
  if (!(Number.isFinite(intervalGrams) && intervalGrams > 0)) return false;
  return /^[125](e[+-]?\d+)?$/.test(intervalGrams.toExponential().replace(/\.0+(?=e)/, ''));
}

/**
 * Checks a scale against the limits of its class; gives the number of intervals n = Max/e and the minimum
 * capacity. Refuses an interval of another form and an n outside the class.
 */
export function classifyScale(scale: MarkedScale): Result<{ intervals: number; minimumGrams: number }> {
  const { accuracyClass, intervalGrams, maximumGrams } = scale;
  if (!isIntervalForm(intervalGrams)) {
    return refuse(
      'interval_form',
      'intervalGrams',
      `${intervalGrams} g is not 1, 2 or 5 times a power of ten (OIML R 76-1); enter e as marked on the scale`,
    );
  }
  if (!(Number.isFinite(maximumGrams) && maximumGrams > 0)) {
    return refuse('not_positive', 'maximumGrams', 'must be above zero; enter Max as marked on the scale');
  }
  const row = classRows[accuracyClass].find(
    ({ fromIntervalGrams, toIntervalGrams }) =>
      fromIntervalGrams <= intervalGrams && intervalGrams <= toIntervalGrams,
  );
  if (row === undefined) {
    return refuse(
      'interval_not_in_class',
      'intervalGrams',
      `class ${accuracyClass} has no interval of ${intervalGrams} g (OIML R 76-1 Table 3); correct class or e`,
    );
  }
  const n = divide(rationalOfNumber(maximumGrams), rationalOfNumber(intervalGrams));
  const intervals = toNumber(n);
  if (intervals < row.leastIntervals || intervals > row.mostIntervals) {
    return refuse(
      'intervals_not_in_class',
      'maximumGrams',
      `not class ${accuracyClass}: n = ${intervals} is outside ${row.leastIntervals}…${row.mostIntervals} (OIML R 76-1 Table 3); correct class, Max or e`,
    );
  }
  return ok({
    intervals,
    minimumGrams: toNumber(multiply(rationalOfNumber(intervalGrams), rational(BigInt(row.minimum)))),
  });
}

/**
 * Maximum permissible error ± for a net load, exact at the steps: OIML R 76-1 Table 6; in service twice that
 * (decree 91-330, 4.2). Refuses loads beyond the class.
 */
export function maximumPermissibleErrorGrams(
  scale: Pick<MarkedScale, 'accuracyClass' | 'intervalGrams'>,
  loadGrams: number,
  occasion: 'initial' | 'in service',
): Result<number> {
  if (!isIntervalForm(scale.intervalGrams)) {
    return refuse(
      'interval_form',
      'intervalGrams',
      `${scale.intervalGrams} g is not 1, 2 or 5 times a power of ten; enter e as marked on the scale`,
    );
  }
  const interval = rationalOfNumber(scale.intervalGrams);
  const load = divide(rationalOfNumber(Math.abs(loadGrams)), interval);
  const step = errorSteps[scale.accuracyClass].findIndex(
    (most) => most === unbounded || compare(load, rational(BigInt(most))) <= 0,
  );
  if (step < 0) {
    return refuse(
      'load_beyond_class',
      'loadGrams',
      `${loadGrams} g is more intervals than class ${scale.accuracyClass} has; use a scale of a larger capacity`,
    );
  }
  const halves = BigInt(step + 1) * (occasion === 'initial' ? 1n : 2n);
  return ok(toNumber(multiply(interval, rational(halves, 2n))));
}

/** The largest net indication a scale may show: Max + 9 e (OIML R 76-1). */
export function largestIndicationGrams({ intervalGrams, maximumGrams }: MarkedScale): number {
  return toNumber(
    add(rationalOfNumber(maximumGrams), multiply(rationalOfNumber(intervalGrams), rational(9n))),
  );
}

/**
 * Error before rounding, found with small added weights ΔL that just turn the display to the next step:
 * P = I + ½ e − ΔL, E = P − L (OIML R 76-1, A.4.4.3, from memory). All in grams, exact.
 */
export function roundingFreeErrorGrams(reading: {
  readonly indicationGrams: number;
  readonly loadGrams: number;
  readonly addedGrams: number;
  readonly intervalGrams: number;
}): number {
  const half: Rational = multiply(rationalOfNumber(reading.intervalGrams), rational(1n, 2n));
  const before = subtract(
    add(rationalOfNumber(reading.indicationGrams), half),
    rationalOfNumber(reading.addedGrams),
  );
  return toNumber(subtract(before, rationalOfNumber(reading.loadGrams)));
}
