import type { Band } from '../acceptance/band.ts';
import { type Decision, type Judgement, judge, type Reading } from '../acceptance/judgement.ts';
import type { DecisionRule } from '../acceptance/rule.ts';
import type { ExpandedUncertainty } from '../acceptance/uncertainty.ts';
import { convert } from '../quantity/conversion.ts';
import { rationalOf, rationalOfNumber } from '../quantity/decimal-text.ts';
import {
  absolute,
  add,
  multiply,
  negate,
  type Rational,
  subtract,
  toNumber,
  zero,
} from '../quantity/rational.ts';
import type { Quantity, Unit } from '../quantity/unit.ts';
import { ok, type Refusal, type Result, refuse } from '../result.ts';
import { type CalibrationPoint, correctIndication } from './certificate.ts';

/** A capture as far as its calibration matters. Nothing of it is altered. */
export interface ImpactCapture {
  readonly captureId: string;
  readonly quantity: Quantity;
  /** What the instrument showed; for a net mass also the tare. */
  readonly indication: Reading;
  readonly tare?: Reading | undefined;
  /** The value that was judged, in the band's unit. */
  readonly measured: { readonly value: number; readonly unit: Unit };
  /** What was added for the calibration known then, before the lever; zero where nothing was. */
  readonly calibrationCorrection?: { readonly value: number; readonly unit: Unit } | undefined;
  /** Torque at the ring per torque at the wrench; 1 without a lever. */
  readonly leverRatio?: number | undefined;
  readonly band: Band;
  readonly uncertainty: ExpandedUncertainty;
  readonly rule: DecisionRule;
  /** As recorded. */
  readonly decision: Decision;
}

/** Errors found before adjustment at the calibration that showed the trouble: by points, or one everywhere. */
export type AsFound =
  | { readonly unit: Unit; readonly points: readonly CalibrationPoint[] }
  | { readonly unit: Unit; readonly error: number };

export type ImpactLine =
  | {
      readonly captureId: string;
      readonly outcome: 'unchanged' | 'changed';
      readonly before: Decision;
      readonly after: Decision;
      /** What the as-found error changes of the value, in the band's unit. */
      readonly shift: number;
      readonly judgement: Judgement;
    }
  /** Outside the as-found range: it cannot be said, so a person must look at it. */
  | {
      readonly captureId: string;
      readonly outcome: 'unknown';
      readonly before: Decision;
      readonly reason: Refusal;
    };

/**
 * Judges captures again as if the as-found error had been known: measured − (as-found error + correction
 * applied then) through the lever. One line per capture, in the order given; none is left out.
 */
export function judgeAgain(captures: readonly ImpactCapture[], asFound: AsFound): ImpactLine[] {
  return captures.map((capture): ImpactLine => {
    const { captureId, decision: before, band } = capture;
    const shift = shiftOf(capture, asFound);
    if (!shift.ok) return { captureId, outcome: 'unknown', before, reason: shift.error };
    const measured = convert(rationalOfNumber(capture.measured.value), capture.measured.unit, band.unit);
    if (!measured.ok) return { captureId, outcome: 'unknown', before, reason: measured.error };
    const judged = judge({
      quantity: capture.quantity,
      reading: { value: toNumber(add(measured.value, shift.value)), unit: band.unit },
      band,
      uncertainty: capture.uncertainty,
      rule: capture.rule,
    });
    if (!judged.ok) return { captureId, outcome: 'unknown', before, reason: judged.error };
    const after = judged.value.decision;
    return {
      captureId,
      outcome: after === before ? 'unchanged' : 'changed',
      before,
      after,
      shift: toNumber(shift.value),
      judgement: judged.value,
    };
  });
}

/** What must be added to the recorded value, in the band's unit. */
function shiftOf(capture: ImpactCapture, asFound: AsFound): Result<Rational> {
  const gross = correctionAt(capture.indication, capture.quantity, asFound);
  if (!gross.ok) return gross;
  const tare = capture.tare === undefined ? ok(zero) : correctionAt(capture.tare, capture.quantity, asFound);
  if (!tare.ok) return tare;
  const now = convert(subtract(gross.value, tare.value), asFound.unit, capture.band.unit);
  if (!now.ok) return now;
  const applied = capture.calibrationCorrection;
  const then =
    applied === undefined
      ? ok(zero)
      : convert(rationalOfNumber(applied.value), applied.unit, capture.band.unit);
  if (!then.ok) return then;
  return ok(multiply(add(now.value, negate(then.value)), rationalOfNumber(capture.leverRatio ?? 1)));
}

/** A wrench turned counter-clockwise shows a negative torque; its error is taken at the same size. */
function correctionAt(reading: Reading, quantity: Quantity, asFound: AsFound): Result<Rational> {
  const exact = rationalOf('text' in reading ? reading.text : reading.value);
  if (exact === null) return refuse('not_finite', 'indication', 'is not a finite decimal number');
  const { unit } = asFound;
  if ('error' in asFound) {
    const converted = convert(exact, reading.unit, unit);
    return converted.ok ? ok(negate(rationalOfNumber(asFound.error))) : converted;
  }
  const value = quantity === 'torque' ? absolute(exact) : exact;
  const corrected = correctIndication({ unit }, asFound.points, value, reading.unit);
  return corrected.ok ? ok(corrected.value.correction) : corrected;
}
