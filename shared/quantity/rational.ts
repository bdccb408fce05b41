/**
 * An exact fraction: denominator above zero, in lowest terms. Unit factors and limits are fractions, so that
 * "on the limit" can be decided without the noise of binary doubles.
 */
export interface Rational {
  readonly numerator: bigint;
  readonly denominator: bigint;
}

function greatestCommonDivisor(a: bigint, b: bigint): bigint {
  let x = a < 0n ? -a : a;
  let y = b < 0n ? -b : b;
  while (y !== 0n) [x, y] = [y, x % y];
  return x;
}

/** Makes a fraction in lowest terms. Throws RangeError for a zero denominator. */
export function rational(numerator: bigint, denominator = 1n): Rational {
  if (denominator === 0n) throw new RangeError('a fraction needs a denominator other than zero');
  const divisor = greatestCommonDivisor(numerator, denominator) * (denominator < 0n ? -1n : 1n);
  return { numerator: numerator / divisor, denominator: denominator / divisor };
}

export const zero: Rational = rational(0n);
export const one: Rational = rational(1n);

/** a + b */
export function add(a: Rational, b: Rational): Rational {
  return rational(a.numerator * b.denominator + b.numerator * a.denominator, a.denominator * b.denominator);
}

/** a − b */
export function subtract(a: Rational, b: Rational): Rational {
  return add(a, negate(b));
}

/** a · b */
export function multiply(a: Rational, b: Rational): Rational {
  return rational(a.numerator * b.numerator, a.denominator * b.denominator);
}

/** a / b. Throws RangeError when b is zero. */
export function divide(a: Rational, b: Rational): Rational {
  return rational(a.numerator * b.denominator, a.denominator * b.numerator);
}

/** −a */
export function negate(a: Rational): Rational {
  return { numerator: -a.numerator, denominator: a.denominator };
}

/** |a| */
export function absolute(a: Rational): Rational {
  return a.numerator < 0n ? negate(a) : a;
}

/** −1, 0 or 1 as a is below, equal to or above b. */
export function compare(a: Rational, b: Rational): -1 | 0 | 1 {
  const difference = a.numerator * b.denominator - b.numerator * a.denominator;
  return difference < 0n ? -1 : difference > 0n ? 1 : 0;
}

/** Number of binary digits of a positive integer. */
function bitLength(value: bigint): number {
  return value.toString(2).length;
}

/** The double nearest to the fraction, ties to even (IEEE 754 roundTiesToEven). Infinite beyond the range. */
export function toNumber(a: Rational): number {
  if (a.numerator === 0n) return 0;
  const negative = a.numerator < 0n;
  const magnitude = negative ? -a.numerator : a.numerator;
  // Scale so that the quotient has 53 bits or, for subnormal results, ends at the bit 2^-1074.
  let exponent = bitLength(magnitude) - bitLength(a.denominator) - 53;
  if (exponent < -1074) exponent = -1074;
  let { quotient, remainder, divisor } = scaledQuotient(magnitude, a.denominator, exponent);
  if (quotient >= 1n << 53n) {
    exponent += 1;
    ({ quotient, remainder, divisor } = scaledQuotient(magnitude, a.denominator, exponent));
  }
  const twice = remainder * 2n;
  if (twice > divisor || (twice === divisor && (quotient & 1n) === 1n)) quotient += 1n;
  // Two factors, because 2^-1074 times a 53-bit integer must not pass through an underflowing power.
  const half = Math.trunc(exponent / 2);
  const value = Number(quotient) * 2 ** half * 2 ** (exponent - half);
  return negative ? -value : value;
}

function scaledQuotient(numerator: bigint, denominator: bigint, exponent: number) {
  const dividend = exponent < 0 ? numerator << BigInt(-exponent) : numerator;
  const divisor = exponent > 0 ? denominator << BigInt(exponent) : denominator;
  return { quotient: dividend / divisor, remainder: dividend % divisor, divisor };
}
