import type { Band } from '../../shared/acceptance/band.ts';
import { decimalsOf } from '../../shared/quantity/decimal-text.ts';

/** Decimals with which limits and values of a band are printed: the finest of its own numbers, one at least. */
export function decimalsOfLimits(band: Band): number {
  const numbers = [band.target, band.lower, band.upper].filter((value) => value !== undefined);
  return Math.min(4, Math.max(1, ...numbers.map((value) => decimalsOf(String(value)))));
}

/** Decimals for acceptance limits and for what is missing to them: two at least, or a guard band rounds away. */
export function finer(decimals: number): number {
  return Math.max(2, decimals);
}
