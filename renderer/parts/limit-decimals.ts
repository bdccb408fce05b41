import type { Band } from '../../shared/acceptance/band.ts';
import { decimalsOf } from '../../shared/quantity/decimal-text.ts';
import { fixedText } from '../wording/wording.ts';

/** Decimals with which limits and values of a band are printed: the finest of its own numbers, one at least. */
export function decimalsOfLimits(band: Band): number {
  const numbers = [band.target, band.lower, band.upper].filter((value) => value !== undefined);
  return Math.min(4, Math.max(1, ...numbers.map((value) => decimalsOf(String(value)))));
}

/** Decimals for acceptance limits and for what is missing to them: two at least, or a guard band rounds away. */
export function finer(decimals: number): number {
  return Math.max(2, decimals);
}

/** What binary fractions add to a number that is whole in decimals. */
const slip = 1e-9;

/**
 * An acceptance limit in so many decimals, rounded into the zone: a value printed like the limit is accepted. Rounded
 * to the nearest, 9.8773 g would be shown as 9.88 g, which is not.
 */
export function insideText(limit: number, side: 'lower' | 'upper', decimals: number): string {
  const scale = 10 ** decimals;
  const steps = side === 'lower' ? Math.ceil(limit * scale - slip) : Math.floor(limit * scale + slip);
  return fixedText(steps / scale, decimals);
}

/** What is missing to the zone, rounded up: that much more, or less, is enough. Never nothing. */
export function missingText(distance: number, decimals: number): string {
  const scale = 10 ** decimals;
  return fixedText(Math.ceil(Math.abs(distance) * scale - slip) / scale, decimals);
}
