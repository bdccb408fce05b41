import type { LotUnit } from '../../shared/consumable/lot.ts';
import type { Wording } from './wording.ts';

/** What a lot holds or loses: a mass, or so many pieces. */
export function lotAmount(
  value: number,
  { unit }: { readonly unit: LotUnit },
  { say, quantity, decimal }: Wording,
): string {
  const text = String(Number(value.toFixed(3)));
  return unit === 'g' ? quantity(text, 'g') : say('stock.count', { count: decimal(text) });
}
