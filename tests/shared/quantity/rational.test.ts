import Decimal from 'decimal.js';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  addDecimalTexts,
  decimalsOf,
  exactDecimal,
  formatDecimal,
  parseDecimal,
  rationalOfNumber,
  subtractDecimalTexts,
} from '../../../shared/quantity/decimal-text.ts';
import {
  add,
  compare,
  divide,
  multiply,
  rational,
  subtract,
  toNumber,
} from '../../../shared/quantity/rational.ts';

const fraction = fc
  .tuple(fc.bigInt({ min: -(10n ** 30n), max: 10n ** 30n }), fc.bigInt({ min: 1n, max: 10n ** 30n }))
  .map(([numerator, denominator]) => rational(numerator, denominator));

const finiteDouble = fc.double({ noNaN: true, noDefaultInfinity: true });

test('a fraction from a double gives the same double back, from the smallest to the largest', () => {
  fc.assert(
    fc.property(finiteDouble, (value) => {
      expect(toNumber(rationalOfNumber(value))).toBe(value === 0 ? 0 : value);
    }),
    {
      examples: [
        [5e-324],
        [1.7976931348623157e308],
        [-2.2250738585072014e-308],
        [0.1],
        [2.225073858507201e-308],
      ],
    },
  );
});

test('turning a fraction into a double rounds to the nearest, as the division of doubles does', () => {
  fc.assert(
    fc.property(fc.integer(), fc.integer({ min: 1 }), (numerator, denominator) => {
      // Both are exact doubles, and IEEE division is correctly rounded.
      expect(toNumber(rational(BigInt(numerator), BigInt(denominator)))).toBe(
        numerator === 0 ? 0 : numerator / denominator,
      );
    }),
  );
});

test('a tie between two doubles goes to the even one', () => {
  expect(toNumber(rational(2n ** 53n + 1n))).toBe(2 ** 53);
  expect(toNumber(rational(2n ** 53n + 3n))).toBe(2 ** 53 + 4);
  expect(toNumber(rational(2n ** 1024n))).toBe(Number.POSITIVE_INFINITY);
});

test('the four operations undo each other exactly', () => {
  fc.assert(
    fc.property(fraction, fraction, (a, b) => {
      expect(subtract(add(a, b), b)).toEqual(a);
      if (b.numerator !== 0n) expect(multiply(divide(a, b), b)).toEqual(a);
      expect(compare(a, b) + compare(b, a)).toBe(0);
    }),
  );
});

test('0.1 and 0.2 make exactly 0.3, and 25.92 + 0.3 is 26.22', () => {
  expect(toNumber(add(rationalOfNumber(0.1), rationalOfNumber(0.2)))).toBe(0.3);
  expect(toNumber(add(rationalOfNumber(25.92), rationalOfNumber(0.3)))).toBe(26.22);
  expect(25.92 + 0.3).not.toBe(26.22);
});

test('rounding to decimals agrees with decimal.js, both ways of a tie', () => {
  const text = fc
    .tuple(fc.integer({ min: -999_999, max: 999_999 }), fc.integer({ min: 0, max: 5 }))
    .map(([digits, decimals]) =>
      formatDecimal(rational(BigInt(digits), 10n ** BigInt(decimals)), decimals, 'half-even'),
    );
  fc.assert(
    fc.property(text, fc.integer({ min: 0, max: 4 }), (decimal, decimals) => {
      const value = parseDecimal(decimal)!;
      const withoutMinusZero = (printed: string) =>
        /^-0(\.0*)?$/.test(printed) ? printed.slice(1) : printed;
      for (const [rounding, mode] of [
        ['half-even', Decimal.ROUND_HALF_EVEN],
        ['half-up', Decimal.ROUND_HALF_UP],
      ] as const) {
        expect(formatDecimal(value, decimals, rounding)).toBe(
          withoutMinusZero(new Decimal(decimal).toFixed(decimals, mode)),
        );
      }
    }),
  );
});

test('a tie: 2.345 at two decimals is 2.34 half to even and 2.35 half up; −0.004 is 0.00, never −0.00', () => {
  expect(formatDecimal(parseDecimal('2.345')!, 2, 'half-even')).toBe('2.34');
  expect(formatDecimal(parseDecimal('2.345')!, 2, 'half-up')).toBe('2.35');
  expect(formatDecimal(parseDecimal('-2.345')!, 2, 'half-up')).toBe('-2.35');
  expect(formatDecimal(parseDecimal('-0.004')!, 2, 'half-up')).toBe('0.00');
});

test('net = gross − tare keeps the decimals of the finer reading', () => {
  expect(subtractDecimalTexts('80.40', '13.2')).toBe('67.20');
  expect(subtractDecimalTexts('0.3', '0.1')).toBe('0.2');
  expect(addDecimalTexts('-0.005', '0.005')).toBe('0.000');
  expect(() => subtractDecimalTexts('80,4', '1')).toThrow(RangeError);
});

test('decimals shown are counted, exponents included', () => {
  expect(['12', '12.50', '1.5e-3', '1e3'].map(decimalsOf)).toEqual([0, 2, 4, 0]);
});

test('a decimal expansion is given whole where it ends, and not at all where it does not', () => {
  expect(exactDecimal(rational(1n, 8n))).toBe('0.125');
  expect(exactDecimal(rational(-3n))).toBe('-3');
  expect(exactDecimal(rational(1n, 3n))).toBeNull();
});

test.each([
  '',
  ' ',
  'NaN',
  'Infinity',
  '-Infinity',
  '1,5',
  '1 000',
  '0x10',
  '1e',
  '--1',
  '.5',
  '1_000',
  '9'.repeat(500),
])('"%s" is no decimal number', (text) => {
  expect(parseDecimal(text)).toBeNull();
});

test('NaN and infinities are no fractions', () => {
  for (const value of [Number.NaN, Number.POSITIVE_INFINITY])
    expect(() => rationalOfNumber(value)).toThrow(RangeError);
  expect(() => divide(rational(1n), rational(0n))).toThrow(RangeError);
});
