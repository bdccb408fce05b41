import { add, type Rational, rational, subtract } from './rational.ts';

const decimalPattern = /^([+-]?)(\d+)(?:\.(\d*))?(?:[eE]([+-]?\d{1,3}))?$/;

/** Longest decimal text that is read: a hostile file must not buy megabytes of digits. */
const longestText = 400;

/**
 * Reads plain decimal text (`-0.005`, `12.50`, `1e-3`) as an exact fraction; `null` when it is none.
 * NaN, infinities, thousands marks and decimal commas are none.
 */
export function parseDecimal(text: string): Rational | null {
  if (text.length > longestText) return null;
  const match = decimalPattern.exec(text);
  if (match === null) return null;
  const [, sign, whole = '', fraction = '', exponentText = '0'] = match;
  const digits = BigInt(`${whole}${fraction}`) * (sign === '-' ? -1n : 1n);
  const power = Number(exponentText) - fraction.length;
  return power >= 0 ? rational(digits * 10n ** BigInt(power)) : rational(digits, 10n ** BigInt(-power));
}

/**
 * A finite double as the fraction of its shortest decimal text: 0.1 is one tenth, as its writer meant, not
 * the binary neighbour. Throws RangeError for NaN and infinities.
 */
export function rationalOfNumber(value: number): Rational {
  const parsed = Number.isFinite(value) ? parseDecimal(String(value)) : null;
  if (parsed === null) throw new RangeError(`${value} is not a finite number`);
  return parsed;
}

/** A number or decimal text as a fraction; `null` when it is not finite plain decimal. */
export function rationalOf(value: number | string): Rational | null {
  if (typeof value === 'string') return parseDecimal(value);
  return Number.isFinite(value) ? rationalOfNumber(value) : null;
}

/**
 * `half-even`: a tie goes to the even digit (IEC 60559, ISO 80000-1 rule A).
 * `half-up`: a tie goes away from zero (ISO 80000-1 rule B, what people learn at school).
 */
export type Rounding = 'half-even' | 'half-up';

/** The integer nearest to the fraction. */
export function roundToInteger(value: Rational, rounding: Rounding): bigint {
  const negative = value.numerator < 0n;
  const magnitude = negative ? -value.numerator : value.numerator;
  let quotient = magnitude / value.denominator;
  const twice = (magnitude % value.denominator) * 2n;
  const tie = twice === value.denominator;
  if (twice > value.denominator || (tie && (rounding === 'half-up' || (quotient & 1n) === 1n))) {
    quotient += 1n;
  }
  return negative ? -quotient : quotient;
}

/** Text with exactly `decimals` decimals. Never `-0`. */
export function formatDecimal(value: Rational, decimals: number, rounding: Rounding): string {
  const scaled = roundToInteger(
    rational(value.numerator * 10n ** BigInt(decimals), value.denominator),
    rounding,
  );
  return textOfScaled(scaled, decimals);
}

function textOfScaled(scaled: bigint, decimals: number): string {
  const magnitude = (scaled < 0n ? -scaled : scaled).toString().padStart(decimals + 1, '0');
  const whole = magnitude.slice(0, magnitude.length - decimals);
  const fraction = decimals > 0 ? `.${magnitude.slice(-decimals)}` : '';
  return `${scaled < 0n ? '-' : ''}${whole}${fraction}`;
}

/** The whole decimal expansion without trailing zeros, or `null` when it does not end. */
export function exactDecimal(value: Rational): string | null {
  let rest = value.denominator;
  let twos = 0;
  let fives = 0;
  while (rest % 2n === 0n) {
    rest /= 2n;
    twos += 1;
  }
  while (rest % 5n === 0n) {
    rest /= 5n;
    fives += 1;
  }
  return rest === 1n ? formatDecimal(value, Math.max(twos, fives), 'half-even') : null;
}

/** Decimals that a decimal text shows: `12.50` has 2, `12` has 0, `1.5e-3` has 4. */
export function decimalsOf(text: string): number {
  const match = decimalPattern.exec(text);
  if (match === null) throw new RangeError(`"${text}" is not a plain decimal number`);
  return Math.max(0, (match[3] ?? '').length - Number(match[4] ?? '0'));
}

function combine(a: string, b: string, operation: (a: Rational, b: Rational) => Rational): string {
  const left = parseDecimal(a);
  const right = parseDecimal(b);
  if (left === null || right === null) {
    throw new RangeError(`"${left === null ? a : b}" is not a plain decimal number`);
  }
  return formatDecimal(operation(left, right), Math.max(decimalsOf(a), decimalsOf(b)), 'half-even');
}

/** Exact sum of two decimal texts, with the decimals of the finer one. Throws RangeError for other text. */
export function addDecimalTexts(a: string, b: string): string {
  return combine(a, b, add);
}

/** Exact difference, as net = gross − tare: `80.40` − `13.2` is `67.20`. Throws RangeError for other text. */
export function subtractDecimalTexts(a: string, b: string): string {
  return combine(a, b, subtract);
}
