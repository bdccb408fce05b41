import { rationalOfNumber } from '../quantity/decimal-text.ts';
import { absolute, add, divide, subtract, toNumber } from '../quantity/rational.ts';
import { individualsChart } from './control-chart.ts';
import { mean, standardDeviation, sumOfSquares } from './descriptive.ts';
import { chiSquareQuantile } from './distributions.ts';
import { normalQuantile } from './normal.ts';

/** Specification limits; at least one. */
export interface SpecificationLimits {
  readonly lower: number | null;
  readonly upper: number | null;
}

/** A process as seen: its mean and a standard deviation with its degrees of freedom (`null`: not known). */
export interface ProcessEstimate {
  readonly mean: number;
  readonly standardDeviation: number;
  readonly count: number | null;
  readonly degreesOfFreedom: number | null;
}

export interface Interval {
  readonly lower: number;
  readonly upper: number;
}

/** An index with its confidence interval; `interval` is `null` where the number of readings is not known. */
export interface CapabilityIndex {
  readonly value: number;
  readonly interval: Interval | null;
}

export interface Capability {
  /** (USL − LSL)/6s; `null` for one-sided limits. */
  readonly spread: CapabilityIndex | null;
  /** The smaller of the two below. */
  readonly worst: CapabilityIndex;
  /** (USL − x̄)/3s */
  readonly upper: number | null;
  /** (x̄ − LSL)/3s */
  readonly lower: number | null;
  /** |middle − x̄| over half the specification; `null` for one-sided limits. */
  readonly offCentre: number | null;
}

/**
 * Capability (with the within-process s: Cp, Cpk) or performance (with the overall s: Pp, Ppk) after
 * NIST/SEMATECH e-Handbook 6.1.6. Interval of the spread by chi-square, of the worst by
 * Cpk ± z·√(1/(9n) + Cpk²/(2ν)) (Bissell). Throws RangeError without limits or for s not above zero.
 */
export function capability(
  estimate: ProcessEstimate,
  limits: SpecificationLimits,
  confidence = 0.95,
): Capability {
  const s = estimate.standardDeviation;
  if (!(s > 0)) throw new RangeError('capability needs a standard deviation above zero');
  const upper = limits.upper === null ? null : difference(limits.upper, estimate.mean) / (3 * s);
  const lower = limits.lower === null ? null : difference(estimate.mean, limits.lower) / (3 * s);
  const sides = [upper, lower].filter((side) => side !== null);
  if (sides.length === 0) throw new RangeError('capability needs at least one limit');
  const worst = Math.min(...sides);
  const both =
    limits.lower === null || limits.upper === null ? null : { lower: limits.lower, upper: limits.upper };
  return {
    spread:
      both === null ? null : spreadIndex(difference(both.upper, both.lower) / (6 * s), estimate, confidence),
    worst: { value: worst, interval: worstInterval(worst, estimate, confidence) },
    upper,
    lower,
    offCentre: both === null ? null : offCentre(estimate.mean, both),
  };
}

/** Of decimal numbers exactly: 20.1 − 20 is 0.1. */
function difference(a: number, b: number): number {
  return toNumber(subtract(rationalOfNumber(a), rationalOfNumber(b)));
}

function offCentre(centre: number, limits: Interval): number {
  const lower = rationalOfNumber(limits.lower);
  const upper = rationalOfNumber(limits.upper);
  const middle = rationalOfNumber(centre);
  const twice = subtract(add(lower, upper), add(middle, middle));
  return toNumber(divide(absolute(twice), subtract(upper, lower)));
}

function spreadIndex(
  value: number,
  { degreesOfFreedom }: ProcessEstimate,
  confidence: number,
): CapabilityIndex {
  if (degreesOfFreedom === null) return { value, interval: null };
  const at = (p: number) => value * Math.sqrt(chiSquareQuantile(p, degreesOfFreedom) / degreesOfFreedom);
  return { value, interval: { lower: at((1 - confidence) / 2), upper: at((1 + confidence) / 2) } };
}

function worstInterval(
  worst: number,
  { count, degreesOfFreedom }: ProcessEstimate,
  confidence: number,
): Interval | null {
  if (count === null || degreesOfFreedom === null) return null;
  const z = normalQuantile((1 + confidence) / 2);
  const reach = z * Math.sqrt(1 / (9 * count) + (worst * worst) / (2 * degreesOfFreedom));
  return { lower: worst - reach, upper: worst + reach };
}

/** All readings together: the standard deviation of Pp and Ppk. */
export function overallEstimate(values: readonly number[]): ProcessEstimate {
  return {
    mean: mean(values),
    standardDeviation: standardDeviation(values),
    count: values.length,
    degreesOfFreedom: values.length - 1,
  };
}

/**
 * Readings in the order made, one by one: standard deviation from the mean moving range. Its degrees of
 * freedom are about 0.62 · (n − 1) (from memory: efficiency of the moving range of two).
 */
export function movingRangeEstimate(values: readonly number[]): ProcessEstimate {
  return {
    mean: mean(values),
    standardDeviation: individualsChart(values).standardDeviation,
    count: values.length,
    degreesOfFreedom: Math.max(1, 0.62 * (values.length - 1)),
  };
}

/** Readings in subgroups: pooled within-subgroup standard deviation. */
export function pooledEstimate(subgroups: readonly (readonly number[])[]): ProcessEstimate {
  const values = subgroups.flat();
  const degreesOfFreedom = values.length - subgroups.length;
  const squares = subgroups.reduce((sum, subgroup) => sum + sumOfSquares(subgroup), 0);
  return {
    mean: mean(values),
    standardDeviation: Math.sqrt(squares / degreesOfFreedom),
    count: values.length,
    degreesOfFreedom,
  };
}
