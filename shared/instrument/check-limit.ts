import { checkWeightErrorMilligrams, isFineEnough } from '../calibration/check-weight.ts';
import { type InstrumentMetrology, resolutionAt } from '../calibration/metrology.ts';
import { convert, convertNumber } from '../quantity/conversion.ts';
import { rationalOfNumber } from '../quantity/decimal-text.ts';
import { absolute, compare, multiply, toNumber } from '../quantity/rational.ts';
import { quantityOf, type Unit } from '../quantity/unit.ts';
import { ok, type Result, refuse } from '../result.ts';
import type { CheckReference } from './instrument.ts';

/** Largest difference allowed at a check. */
export interface CheckLimit {
  readonly value: number;
  readonly unit: Unit;
}

/**
 * The limit of a check at that reference: the instrument's maximum permissible error, or a tighter one that was
 * asked for. Refuses a reference of another quantity, above the capacity or too coarse, a wider limit, and an
 * instrument without a permissible error where no limit is given.
 */
export function checkLimit(
  metrology: InstrumentMetrology,
  reference: CheckReference,
  asked: CheckLimit | undefined,
): Result<CheckLimit> {
  if (quantityOf(reference.unit) !== metrology.quantity) {
    return refuse(
      'wrong_unit',
      'reference.unit',
      `${reference.unit} is no unit of ${metrology.quantity}; give the reference in another.`,
    );
  }
  const size = Math.abs(reference.value);
  if (size === 0) {
    return refuse('zero_reference', 'reference.value', 'Zero checks nothing; use a known mass or torque.');
  }
  const onInstrument = convertNumber(size, reference.unit, metrology.unit);
  if (resolutionAt(metrology, onInstrument) === null) {
    return refuse(
      'above_capacity',
      'reference.value',
      `${size} ${reference.unit} is above the capacity of ${metrology.ranges.at(-1)?.upTo} ${metrology.unit}; use a smaller reference.`,
    );
  }
  const permissible = permissibleErrorAt(metrology, reference);
  const limit = asked ?? permissible;
  if (limit === null) {
    return refuse(
      'limit_missing',
      'limit',
      'The register has no permissible error for this instrument; give the largest difference allowed.',
    );
  }
  if (quantityOf(limit.unit) !== metrology.quantity) {
    return refuse(
      'wrong_unit',
      'limit.unit',
      `${limit.unit} is no unit of ${metrology.quantity}; give the limit in another.`,
    );
  }
  if (asked !== undefined && permissible !== null && isWider(asked, permissible)) {
    return refuse(
      'limit_too_wide',
      'limit.value',
      `The instrument may differ by ${permissible.value} ${permissible.unit} here; give that or less.`,
    );
  }
  return fineEnough(reference, limit);
}

function permissibleErrorAt(
  { maximumPermissibleError: error, unit }: InstrumentMetrology,
  reference: CheckReference,
): CheckLimit | null {
  if (error === undefined) return null;
  if (error.kind === 'absolute') return { value: error.value, unit };
  const part = multiply(rationalOfNumber(error.fraction), absolute(rationalOfNumber(reference.value)));
  return { value: toNumber(part), unit: reference.unit };
}

function isWider(asked: CheckLimit, permissible: CheckLimit): boolean {
  const exact = convert(asked.value, asked.unit, permissible.unit);
  return exact.ok && compare(exact.value, rationalOfNumber(permissible.value)) > 0;
}

/** A weight of a known class must be fine enough to tell. */
function fineEnough({ value, unit, weightClass }: CheckReference, limit: CheckLimit): Result<CheckLimit> {
  if (weightClass === undefined) return ok(limit);
  if (quantityOf(unit) !== 'mass') {
    return refuse('no_weight', 'reference.weightClass', 'Only a check weight has a class; leave it out.');
  }
  const nominal = convertNumber(value, unit, 'g');
  const error = checkWeightErrorMilligrams(nominal, weightClass);
  if (!error.ok) return refuse(error.error.code, 'reference.value', error.error.message);
  if (isFineEnough(error.value, convertNumber(limit.value, limit.unit, 'g'))) return ok(limit);
  return refuse(
    'weight_too_coarse',
    'reference.weightClass',
    `A ${weightClass} weight of ${nominal} g may be off by ${error.value} mg itself; use a finer one.`,
  );
}
