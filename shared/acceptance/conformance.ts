import { normalCdf, normalInterval } from '../statistics/normal.ts';

/** Tolerance limits as plain numbers in one unit; `null` where there is none. */
export interface Limits {
  readonly lower: number | null;
  readonly upper: number | null;
}

/**
 * Probability that the measurand lies within the limits when its value is normal about `value` with standard
 * uncertainty `u` (> 0), all in one unit. JCGM 106:2012, 7.3 (one-sided) and 7.4 (two-sided).
 */
export function conformanceProbability(value: number, u: number, limits: Limits): number {
  const below = limits.lower === null ? Number.NEGATIVE_INFINITY : (limits.lower - value) / u;
  const above = limits.upper === null ? Number.POSITIVE_INFINITY : (limits.upper - value) / u;
  return normalInterval(below, above);
}

/**
 * One minus the conformance probability, right to its last digits where it is small: the specific risk of
 * false acceptance of an accepted value (JCGM 106:2012, 9.3).
 */
export function nonconformanceProbability(value: number, u: number, limits: Limits): number {
  const below = limits.lower === null ? 0 : normalCdf((limits.lower - value) / u);
  const above = limits.upper === null ? 0 : normalCdf((value - limits.upper) / u);
  return below + above;
}
