import fc from 'fast-check';
import { expect, test } from 'vitest';
import { canonicalNumber, placePoint, valueOfNumber } from '../../../drivers/decode/number-text.ts';

test('what has the shape of a number is exactly what the corpora’s reference takes for one', () => {
  const printed = fc.string({ unit: fc.constantFrom(...'0123456789.,+- x'), maxLength: 9 });
  fc.assert(
    fc.property(printed, (text) => {
      const isNumber = /^[+-]?\d*[.,]?\d+$/.test(text.trim());
      expect(canonicalNumber(text, false, undefined) !== null).toBe(isNumber);
    }),
    { numRuns: 3000 },
  );
});

test('the value of a decimal text is the double nearest to it, as Number gives it', () => {
  const text = fc
    .tuple(fc.boolean(), fc.bigInt({ min: 0n, max: 10n ** 20n }), fc.nat(18))
    .map(
      ([negative, digits, decimals]) =>
        canonicalNumber(`${negative ? '-' : ''}${placePoint(String(digits), decimals)}`, false, '.')!,
    );
  fc.assert(
    fc.property(text, (canonical) => {
      expect(valueOfNumber(canonical)).toBe(Number(canonical));
    }),
    { numRuns: 5000 },
  );
});

test('a run of a million digits costs no more than its length', () => {
  expect(canonicalNumber(`${'9'.repeat(1_000_000)}x`, false, undefined)).toBeNull();
});
