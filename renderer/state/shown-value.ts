import { decimalsOf } from '../../shared/quantity/decimal-text.ts';
import type { Unit } from '../../shared/quantity/unit.ts';
import { finer } from '../parts/limit-decimals.ts';
import { fixedText } from '../wording/wording.ts';

/**
 * The measured value as it is read at the bench: with the decimals of the instrument's display where the units are
 * the same, with two otherwise. The audit screen shows all of them.
 */
export function shownValue({
  measured,
  indication,
}: {
  readonly measured: { readonly value: number; readonly unit: Unit };
  readonly indication: { readonly text: string; readonly unit: Unit };
}): string {
  const decimals = measured.unit === indication.unit ? decimalsOf(indication.text) : finer(0);
  return fixedText(measured.value, decimals);
}
