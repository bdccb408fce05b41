import type { ImpactCapture } from '../calibration/impact.ts';
import { convertNumber } from '../quantity/conversion.ts';
import type { Capture } from './capture.ts';

/**
 * A stored capture as far as its calibration matters: what was shown, what was corrected for the calibration known
 * then, and by how much an error at the instrument reached the judged value. `measure` wrote the corrections in a
 * fixed order, so each one's ratio follows from the value before it.
 */
export function impactCaptureOf(capture: Capture): ImpactCapture {
  const { indication, tare, measured, judgement } = capture;
  const { unit } = measured;
  const inUnit = (reading: { readonly value: number; readonly unit: typeof unit }) =>
    convertNumber(reading.value, reading.unit, unit);
  let value = inUnit(indication) - (tare === undefined ? 0 : inUnit(tare.indication));
  /** Judged value per value at the instrument, so far. */
  let ratio = 1;
  let calibration = 0;
  for (const correction of capture.corrections) {
    const amount = inUnit(correction);
    switch (correction.name) {
      case 'calibration':
        // Written after a weighing by difference has turned the sign; wanted as it acts at the instrument.
        calibration = amount * ratio;
        break;
      case 'by difference':
      case 'direction':
        ratio = -ratio;
        break;
      case 'lever':
      case 'buoyancy':
        if (value !== 0) ratio *= (value + amount) / value;
        break;
    }
    value += amount;
  }
  // A torque's error is taken at its size, whichever way the wrench turned.
  const isTurnedBack = capture.corrections.some(({ name }) => name === 'direction');
  return {
    captureId: capture.captureId,
    quantity: capture.quantity,
    indication: { text: indication.text, unit: indication.unit },
    tare: tare && { text: tare.indication.text, unit: tare.indication.unit },
    measured,
    calibrationCorrection: { value: isTurnedBack ? -calibration : calibration, unit },
    leverRatio: isTurnedBack ? -ratio : ratio,
    band: capture.band,
    uncertainty: judgement.uncertainty,
    rule: capture.rule,
    decision: judgement.decision,
  };
}
