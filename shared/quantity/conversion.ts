import { ok, type Result, refuse } from '../result.ts';
import { parseDecimal, rationalOf } from './decimal-text.ts';
import { divide, multiply, one, type Rational, rational, toNumber } from './rational.ts';
import { quantityOf, type Unit } from './unit.ts';
import { quotedUnits } from './unit-text.ts';

/** Exact constant from its defining decimal text. */
function exact(text: string): Rational {
  const value = parseDecimal(text);
  if (value === null) throw new RangeError(`"${text}" is not a decimal constant`);
  return value;
}

const poundInGrams = exact('453.59237'); // international yard and pound agreement 1959; NIST SP 811 App. B.8
const standardGravity = exact('9.80665'); // g_n in m/s², 3rd CGPM (1901); NIST SP 811 App. B.8
const inchInMetres = exact('0.0254'); // international yard and pound agreement 1959; NIST SP 811 App. B.8
const poundForceInNewtons = multiply(multiply(poundInGrams, exact('0.001')), standardGravity); // lb · g_n
const poundForceInch = multiply(poundForceInNewtons, inchInMetres); // 0.1129848290276167 N·m

/** Exact size of each unit in the canonical unit of its quantity (g, N.m). */
const factors: Readonly<Record<Unit, Rational>> = {
  g: one,
  mg: exact('0.001'), // SI prefix
  kg: exact('1000'), // SI prefix
  lb: poundInGrams,
  oz: divide(poundInGrams, rational(16n)), // avoirdupois ounce, lb/16 = 28.349523125 g; NIST SP 811 App. B.8
  gr: divide(poundInGrams, rational(7000n)), // grain, lb/7000 = 0.06479891 g; NIST SP 811 App. B.8
  'N.m': one,
  'cN.m': exact('0.01'), // SI prefix
  'lbf.in': poundForceInch,
  'lbf.ft': multiply(poundForceInch, rational(12n)), // 1.3558179483314004 N·m; NIST SP 811 App. B.8
  'ozf.in': divide(poundForceInch, rational(16n)), // 0.00706155181422604375 N·m; NIST SP 811 App. B.8
  'kgf.m': standardGravity, // 9.80665 N·m; NIST SP 811 App. B.8
  'kgf.cm': multiply(standardGravity, exact('0.01')), // 0.0980665 N·m; NIST SP 811 App. B.8
  'gf.cm': multiply(standardGravity, exact('0.00001')), // 0.0000980665 N·m
};

/** Exact factor by which a value in `from` is multiplied to be in `to`; `null` for different quantities. */
export function conversionFactor(from: Unit, to: Unit): Rational | null {
  return quantityOf(from) === quantityOf(to) ? divide(factors[from], factors[to]) : null;
}

/**
 * Converts exactly. The value is a fraction, decimal text or a number (taken by its shortest decimal text).
 * Refuses other text, NaN, infinities and units of different quantities.
 */
export function convert(value: Rational | number | string, from: Unit, to: Unit): Result<Rational> {
  const exactValue = typeof value === 'object' ? value : rationalOf(value);
  if (exactValue === null) {
    return refuse('not_a_number', 'value', `"${value}" is not a finite decimal number; write it like 12.5`);
  }
  const factor = conversionFactor(from, to);
  if (factor === null) {
    return refuse(
      'mixed_quantities',
      'to',
      `${from} measures ${quantityOf(from)} and ${to} measures ${quantityOf(to)}; choose one of ${quotedUnits(quantityOf(from))}`,
    );
  }
  return ok(multiply(exactValue, factor));
}

/** The double nearest to a converted number. Throws RangeError where `convert` refuses: for checked input. */
export function convertNumber(value: number, from: Unit, to: Unit): number {
  const converted = convert(value, from, to);
  if (!converted.ok) throw new RangeError(converted.error.message);
  return toNumber(converted.value);
}
