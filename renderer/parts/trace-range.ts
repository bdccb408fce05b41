import type { Limits } from '../../shared/acceptance/conformance.ts';

/**
 * From nothing to a little above the band, so that the picture stays still; more only when the value needs it, and
 * never so much that the band could not be seen: a dish taken off leaves the picture, the number stands beside it.
 */
export function verticalRange(
  least: number | null,
  most: number | null,
  { lower, upper }: Limits,
): [number, number] {
  const top = (upper ?? (lower ?? 0) * 1.5) * 1.12;
  const room = Math.max(Math.abs(top), Math.abs(lower ?? 0), 1e-6);
  const bottom = Math.min(0, lower ?? 0, Math.max(least ?? 0, -room / 10));
  return [bottom, Math.max(top, Math.min((most ?? 0) * 1.05, room * 2), bottom + 1e-6)];
}
