import { expect } from 'vitest';

/** |actual − expected| ≤ tolerance, with both numbers in the message. */
export function expectWithin(actual: number, expected: number, tolerance: number): void {
  expect(Math.abs(actual - expected), `${actual} against ${expected}`).toBeLessThanOrEqual(tolerance);
}

/** |actual − expected| ≤ tolerance · |expected|. */
export function expectRelative(actual: number, expected: number, tolerance: number): void {
  expectWithin(actual, expected, tolerance * Math.abs(expected));
}

/** The value of a result that must not be a refusal. */
export function taken<Value>(
  result: { readonly ok: true; readonly value: Value } | { readonly ok: false; readonly error: unknown },
): Value {
  if (!result.ok) throw new Error(`refused: ${JSON.stringify(result.error)}`);
  return result.value;
}
