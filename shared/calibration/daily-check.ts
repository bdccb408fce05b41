import type { Reading } from '../acceptance/judgement.ts';
import { convert } from '../quantity/conversion.ts';
import { exactDecimal, formatDecimal, rationalOf } from '../quantity/decimal-text.ts';
import { absolute, compare, type Rational, subtract, toNumber } from '../quantity/rational.ts';
import type { Unit } from '../quantity/unit.ts';
import { ok, type Result, refuse } from '../result.ts';

/** Outcome of putting a known mass or torque on an instrument. */
export interface CheckJudgement {
  /** indication − reference, in the reference's unit. */
  readonly difference: { readonly value: number; readonly text: string; readonly unit: Unit };
  readonly limit: number;
  readonly passed: boolean;
  /** |difference| as a part of the limit; above 1 fails. */
  readonly used: number;
}

/**
 * Judges a daily check: passed where the indication differs from the reference by no more than the limit, on
 * the limit included, compared exactly. Refuses mixed quantities, numbers that are none, limits not above zero.
 */
export function judgeDailyCheck(check: {
  readonly reference: { readonly value: number | string; readonly unit: Unit };
  readonly indication: Reading;
  readonly limit: { readonly value: number | string; readonly unit: Unit };
}): Result<CheckJudgement> {
  const unit = check.reference.unit;
  const reference = inUnit(check.reference.value, unit, unit, 'reference');
  if (!reference.ok) return reference;
  const { indication: given } = check;
  const indication = inUnit('text' in given ? given.text : given.value, given.unit, unit, 'indication');
  if (!indication.ok) return indication;
  const limit = inUnit(check.limit.value, check.limit.unit, unit, 'limit');
  if (!limit.ok) return limit;
  if (limit.value.numerator <= 0n) {
    return refuse('not_positive', 'limit.value', 'must be above zero; give the largest difference allowed');
  }
  const difference = subtract(indication.value, reference.value);
  return ok({
    difference: {
      value: toNumber(difference),
      text: exactDecimal(difference) ?? formatDecimal(difference, 6, 'half-even'),
      unit,
    },
    limit: toNumber(limit.value),
    passed: compare(absolute(difference), limit.value) <= 0,
    used: toNumber(absolute(difference)) / toNumber(limit.value),
  });
}

function inUnit(value: number | string, from: Unit, to: Unit, field: string): Result<Rational> {
  const exact = rationalOf(value);
  if (exact === null) {
    return refuse('not_finite', `${field}.value`, `must be a finite decimal number, not ${value}`);
  }
  const converted = convert(exact, from, to);
  return converted.ok ? converted : refuse(converted.error.code, `${field}.unit`, converted.error.message);
}
