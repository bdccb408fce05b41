import type { LiveReading, MeasurementView } from '../../shared/contract.ts';
import { convert } from '../../shared/quantity/conversion.ts';
import { toNumber } from '../../shared/quantity/rational.ts';

/**
 * What the screen says of the live value. The four decisions come from the station; `short` is a mass still
 * below its band (grease is missing, nothing is wrong yet), the rest are values that no decision is made on.
 */
export const verdicts = [
  'pass',
  'conditional pass',
  'conditional fail',
  'fail',
  'short',
  'unsettled',
  'pulling',
  /** The dish or tube that was weighed before is not on the scale. */
  'absent',
  'waiting',
  'stale',
] as const;
export type Verdict = (typeof verdicts)[number];

/** Where a value lies of its acceptance zone; inside too where there is no value or no zone. */
export type Side = 'below' | 'inside' | 'above';

/** The verdict on the newest reading. `stale`: the reading is too old to be shown as current. */
export function verdictOf(
  reading: LiveReading | null,
  measurement: Pick<MeasurementView, 'quantity' | 'band' | 'tare'>,
  stale: boolean,
): Verdict {
  if (reading === null) return 'waiting';
  if (stale) return 'stale';
  if (measurement.quantity === 'torque') {
    if (reading.pull === null || reading.pull.phase === 'none') return 'waiting';
    if (reading.pull.phase === 'pulling') return 'pulling';
  }
  // Before the value: an empty scale that shows a little less than nothing is outside what is calibrated.
  if (reading.settled && isContainerOff(reading, measurement.tare)) return 'absent';
  if (reading.measured === null) return 'waiting';
  if (!reading.settled) return 'unsettled';
  if (reading.judgement === null) return 'waiting';
  const { lower } = measurement.band;
  const isShort = measurement.quantity === 'mass' && lower !== undefined && reading.measured.value < lower;
  return isShort ? 'short' : reading.judgement.decision;
}

/** A dish that was weighed and now weighs nearly nothing was taken off. A tenth: common practice, no source. */
function isContainerOff({ indication }: LiveReading, tare: MeasurementView['tare']): boolean {
  if (tare === null) return false;
  const gross = convert(indication.text, indication.unit, tare.unit);
  return gross.ok && toNumber(gross.value) < Number(tare.text) / 10;
}

/**
 * How far the value is from the acceptance zone, in its unit: negative when it lies below, positive above, 0
 * inside. Null without a value or a zone.
 */
export function distanceFromZone(
  value: number | null,
  acceptance: MeasurementView['acceptance'],
): number | null {
  if (value === null || acceptance === null) return null;
  if (acceptance.lower !== null && value < acceptance.lower) return value - acceptance.lower;
  if (acceptance.upper !== null && value > acceptance.upper) return value - acceptance.upper;
  return 0;
}

/** The side of the zone that a value lies on. */
export function sideOfZone(value: number | null, acceptance: MeasurementView['acceptance']): Side {
  const distance = distanceFromZone(value, acceptance) ?? 0;
  return distance > 0 ? 'above' : distance < 0 ? 'below' : 'inside';
}
