import type { CaptureView } from '../../../shared/contract.ts';
import { convert } from '../../../shared/quantity/conversion.ts';
import { toNumber } from '../../../shared/quantity/rational.ts';

interface LimitsOfTrace {
  readonly tolerance: { readonly lower: number | null; readonly upper: number | null };
  readonly acceptance: { readonly lower: number | null; readonly upper: number | null } | null;
}

type Judged = Pick<
  CaptureView,
  'band' | 'acceptance' | 'indication' | 'value' | 'unit' | 'tare' | 'quantity'
>;

/**
 * The limits where the course of the indication can be compared with them: in the instrument's unit, so that the
 * captured reading lies as far from them as its value did from the limits. Tare, correction, lever and unit are in
 * that already. None where that cannot be said.
 */
export function limitsOnDisplay(capture: Judged): LimitsOfTrace {
  const { band, acceptance } = capture;
  const display = displayOf(capture);
  const none = { tolerance: { lower: null, upper: null }, acceptance: null };
  if (display === null) return none;
  const onDisplay = (limits: { lower?: number | null | undefined; upper?: number | null | undefined }) => {
    const [lower, upper] = [limits.lower, limits.upper].map((limit) =>
      limit == null ? null : display(limit),
    );
    const isTurned = display(1) < display(0);
    return isTurned
      ? { lower: upper ?? null, upper: lower ?? null }
      : { lower: lower ?? null, upper: upper ?? null };
  };
  return { tolerance: onDisplay(band), acceptance: acceptance === null ? null : onDisplay(acceptance) };
}

/** What the display shows at a value: through the captured reading, by proportion for a torque, by difference for a mass. */
function displayOf({ indication, value, unit, tare, quantity }: Judged): ((value: number) => number) | null {
  const shown = Number(indication.text);
  if (!Number.isFinite(shown)) return null;
  if (quantity === 'torque') return value === 0 ? null : (limit) => (limit / value) * shown;
  const factor = convert(1, unit, indication.unit);
  if (!factor.ok) return null;
  // Weighed by difference, the display falls while the mass that was given grows.
  const direction = tare !== null && shown < Number(tare.text) ? -1 : 1;
  return (limit) => shown + direction * (limit - value) * toNumber(factor.value);
}
