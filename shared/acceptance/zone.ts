import { convert } from '../quantity/conversion.ts';
import { rationalOfNumber } from '../quantity/decimal-text.ts';
import { absolute, add, compare, multiply, type Rational, subtract, toNumber } from '../quantity/rational.ts';
import { ok, type Result, refuse } from '../result.ts';
import { normalQuantile } from '../statistics/normal.ts';
import { type Band, checkBand } from './band.ts';
import { conformanceProbability, type Limits } from './conformance.ts';
import type { DecisionRule } from './rule.ts';
import { checkUncertainty, type ExpandedUncertainty, standardUncertainty } from './uncertainty.ts';

/** Limits as exact fractions; `null` where there is none. */
export interface ExactLimits {
  readonly lower: Rational | null;
  readonly upper: Rational | null;
}

/** A zone worked out exactly, for judging many readings against the same limits. All in the band's unit. */
export interface ExactZone {
  readonly tolerance: ExactLimits;
  /** `null`: no value at all would be accepted, this instrument cannot show conformance. */
  readonly acceptance: ExactLimits | null;
  /** Width of the guard band for `guarded` (0 for `simple`); `null` for `conformance`. */
  readonly guardBand: Rational | null;
  readonly standardUncertainty: Rational;
  readonly expandedUncertainty: Rational;
}

/** The words for a zone that is empty. */
export const noAcceptanceZone = 'no acceptance zone: this instrument cannot show it';

/**
 * The values that the rule accepts, in the band's unit: what a screen draws green. `null` when there are
 * none. Refuses a faulty band or uncertainty and different quantities.
 */
export function acceptanceZone(
  band: Band,
  uncertainty: ExpandedUncertainty,
  rule: DecisionRule,
): Result<Limits | null> {
  const zone = exactZone(band, uncertainty, rule);
  if (!zone.ok) return zone;
  return ok(zone.value.acceptance === null ? null : limitsAsNumbers(zone.value.acceptance));
}

/** Nearest doubles of exact limits. */
export function limitsAsNumbers(limits: ExactLimits): Limits {
  return {
    lower: limits.lower === null ? null : toNumber(limits.lower),
    upper: limits.upper === null ? null : toNumber(limits.upper),
  };
}

/** As `acceptanceZone`, exact and with all that a judgement needs. */
export function exactZone(
  band: Band,
  uncertainty: ExpandedUncertainty,
  rule: DecisionRule,
): Result<ExactZone> {
  const checkedBand = checkBand(band);
  if (!checkedBand.ok) return checkedBand;
  const checkedUncertainty = checkUncertainty(uncertainty);
  if (!checkedUncertainty.ok) return checkedUncertainty;
  const u = convert(standardUncertainty(uncertainty), uncertainty.unit, band.unit);
  if (!u.ok) return refuse(u.error.code, 'uncertainty.unit', u.error.message);
  if (toNumber(u.value) === 0 || !Number.isFinite(toNumber(u.value))) {
    return refuse(
      'out_of_range',
      'uncertainty.expanded',
      'is not a size that an instrument can have; correct it',
    );
  }
  const expanded = multiply(u.value, rationalOfNumber(uncertainty.k));
  const tolerance: ExactLimits = {
    lower: band.lower === undefined ? null : rationalOfNumber(band.lower),
    upper: band.upper === undefined ? null : rationalOfNumber(band.upper),
  };
  const common = { tolerance, standardUncertainty: u.value, expandedUncertainty: expanded };
  if (rule.kind === 'conformance') {
    return ok({
      ...common,
      guardBand: null,
      acceptance: conformanceZone(tolerance, toNumber(u.value), rule.probability),
    });
  }
  const guardBand = multiply(expanded, rationalOfNumber(rule.kind === 'guarded' ? rule.factor : 0));
  const acceptance: ExactLimits = {
    lower: tolerance.lower === null ? null : add(tolerance.lower, guardBand),
    upper: tolerance.upper === null ? null : subtract(tolerance.upper, guardBand),
  };
  return ok({ ...common, guardBand, acceptance: isEmpty(acceptance) ? null : acceptance });
}

function isEmpty({ lower, upper }: ExactLimits): boolean {
  return lower !== null && upper !== null && compare(lower, upper) > 0;
}

/**
 * Solves for the values whose conformance probability is just `probability`. With one limit it is
 * z(probability)·u inside of it; with two, both tails count and the guard band is found by bisection between
 * that and half the tolerance, where the probability is largest (JCGM 106:2012, 7.4 and 8.3).
 */
function conformanceZone(tolerance: ExactLimits, u: number, probability: number): ExactLimits | null {
  const { lower, upper } = limitsAsNumbers(tolerance);
  const oneSided = normalQuantile(probability) * u;
  if (lower === null || upper === null) return drawnIn(tolerance, oneSided);
  const half = (upper - lower) / 2;
  const symmetric: Limits = { lower: -half, upper: half };
  if (conformanceProbability(0, u, symmetric) < probability) return null;
  let least = Math.min(oneSided, half);
  let most = half;
  for (let step = 0; step < 200 && most - least > Number.EPSILON * half; step += 1) {
    const middle = least + (most - least) / 2;
    if (middle === least || middle === most) break;
    if (conformanceProbability(half - middle, u, symmetric) < probability) least = middle;
    else most = middle;
  }
  return drawnIn(tolerance, most);
}

/** Tolerance limits drawn in by a width that is known to double precision only. */
function drawnIn(tolerance: ExactLimits, width: number): ExactLimits {
  const inward = absolute(rationalOfNumber(width));
  return {
    lower: tolerance.lower === null ? null : rationalOfNumber(toNumber(add(tolerance.lower, inward))),
    upper: tolerance.upper === null ? null : rationalOfNumber(toNumber(subtract(tolerance.upper, inward))),
  };
}
