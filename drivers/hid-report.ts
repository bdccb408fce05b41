import type { IndicationState, RejectionReason } from '../shared/indication.ts';
import { placePoint } from './decode/number-text.ts';

/**
 * Scale data report of the open standard "USB HID Point of Sale Usage Tables" 1.02 (USB-IF, 5 March 2001), page 8D:
 * report id 3, status, unit, scaling (signed power of ten), weight (16 bits, low byte first).
 */
export interface HidScaleReport {
  readonly state: IndicationState;
  /** Index 1..12 of the unit. */
  readonly unitIndex: number;
  /** Canonical decimal text that keeps the resolution. */
  readonly text: string;
}

const reportId = 3;

/** Usages 71..78 by array index. */
const statuses: Readonly<
  Record<number, { readonly state: IndicationState } | { readonly refused: RejectionReason }>
> = {
  1: { refused: 'instrument_error' }, // fault
  2: { state: 'stable' }, // stable at centre of zero
  3: { state: 'unstable' }, // in motion
  4: { state: 'stable' },
  5: { refused: 'underload' }, // under zero: the weight has no sign
  6: { refused: 'overload' }, // over weight limit
  7: { refused: 'instrument_error' }, // requires calibration
  8: { refused: 'instrument_error' }, // requires re-zeroing
};

/** Units by array index (usages 51..5C), for words of people; which of them are allowed says the profile. */
export const hidUnitNames: Readonly<Record<number, string>> = {
  1: 'milligram',
  2: 'gram',
  3: 'kilogram',
  4: 'carat',
  5: 'tael',
  6: 'grain',
  7: 'pennyweight',
  8: 'tonne',
  9: 'short ton',
  10: 'troy ounce',
  11: 'ounce',
  12: 'pound',
};

/**
 * Decodes one input report, with its id (6 bytes) or without (5 bytes: some systems take it off). Gives a reason
 * where it is no reading.
 */
export function decodeHidScaleReport(report: Uint8Array): HidScaleReport | RejectionReason {
  if (report.length === 6 && report[0] !== reportId) return 'not_a_reading';
  if (report.length !== 6 && report.length !== 5) return 'no_match';
  const [statusIndex = 0, unitIndex = 0, scalingByte = 0, low = 0, high = 0] = report.subarray(
    report.length - 5,
  );
  const status = statuses[statusIndex];
  if (status === undefined) return 'unknown_status';
  if ('refused' in status) return status.refused;
  const scaling = scalingByte > 127 ? scalingByte - 256 : scalingByte;
  const text = placePoint(String(low + 256 * high), -scaling);
  if (text === null) return 'no_match';
  return { state: status.state, unitIndex, text: withoutLeadingZeros(text) };
}

/** `000` (0 × 10²) is `0`. */
function withoutLeadingZeros(text: string): string {
  return text.replace(/^0+(?=\d)/, '');
}
