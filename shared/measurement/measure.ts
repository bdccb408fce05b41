import { type Budget, expandedUncertaintyOf } from '../acceptance/budget.ts';
import { type Judgement, judge } from '../acceptance/judgement.ts';
import { type Certificate, correctIndication } from '../calibration/certificate.ts';
import { type LeverGeometry, leverRatio } from '../calibration/lever.ts';
import { budgetOfIndication, type InstrumentMetrology, resolutionAt } from '../calibration/metrology.ts';
import type { Indication } from '../indication.ts';
import { buoyancyFactor } from '../mass/buoyancy.ts';
import { convert } from '../quantity/conversion.ts';
import { decimalsOf, formatDecimal, rationalOfNumber } from '../quantity/decimal-text.ts';
import { add, multiply, negate, one, type Rational, subtract, toNumber, zero } from '../quantity/rational.ts';
import { quantityOf, type Unit } from '../quantity/unit.ts';
import { ok, type Result, refuse } from '../result.ts';
import type { Lever, MeasuredStep } from '../sheet/step.ts';

/** What is known of the instrument in use, on the day. */
export interface MeasuringInstrument {
  readonly metrology: InstrumentMetrology;
  /** Null for an instrument that stands on its permissible error alone. */
  readonly certificate: Certificate | null;
  /** True: the certificate's error is taken off the indication. False: its permissible error counts. */
  readonly correctByCertificate: boolean;
}

export interface Correction {
  readonly name: string;
  readonly value: number;
  readonly unit: Unit;
  readonly source: string;
}

/** A measured quantity value with all that it stands on. */
export interface Measurement {
  /** The measured value with the decimals of the instrument's own step, for a live display. */
  readonly shownText: string;
  /** In the band's unit; `text` keeps two digits more than the instrument shows. */
  readonly measured: { readonly text: string; readonly value: number; readonly unit: Unit };
  /** What was added to indication − tare, in the band's unit, in this order. */
  readonly corrections: readonly Correction[];
  readonly budget: Budget;
  readonly judgement: Judgement;
}

type Reading = Pick<Indication, 'text' | 'unit'>;

/**
 * From an indication to a judged value: tare off, the certificate's error off, through the lever to the ring, what
 * stays on the dish off, air buoyancy on where the sheet says so; then the budget of that indication and the decision.
 * Everything exact until the last step. Refuses an indication of another quantity, outside the calibrated
 * range or above the capacity, and a band that the budget cannot be carried over to.
 *
 * @param at ISO 8601 time of the reading, for the drift since calibration
 */
export function measure(
  step: MeasuredStep,
  instrument: MeasuringInstrument,
  indication: Reading,
  tare: Reading | null,
  at: string,
): Result<Measurement> {
  const unit = step.band.unit;
  if (quantityOf(indication.unit) !== step.kind) {
    return refuse(
      'wrong_unit',
      'indication.unit',
      `The instrument shows ${indication.unit}, which is no unit of ${step.kind}; switch its unit.`,
    );
  }
  const lever = step.kind === 'torque' ? leverOf(step.lever, instrument.metrology) : undefined;
  const metrology = withLever(instrument.metrology, lever);
  const corrected = correctAll(step, { ...instrument, metrology }, indication, tare, lever);
  if (!corrected.ok) return corrected;
  const budget = budgetOfIndication({
    metrology,
    certificate: instrument.certificate,
    indication,
    tare: tare ?? undefined,
    corrected: instrument.correctByCertificate && instrument.certificate !== null,
    at,
    unit,
  });
  if (!budget.ok) return budget;
  const value = toNumber(corrected.value.value);
  const judgement = judge({
    quantity: step.kind,
    reading: { value, unit },
    band: step.band,
    uncertainty: expandedUncertaintyOf(budget.value),
    rule: step.rule,
  });
  if (!judgement.ok) return judgement;
  const decimals = shownDecimals(metrology, indication, unit);
  const text = formatDecimal(corrected.value.value, decimals + 2, 'half-even');
  return ok({
    shownText: formatDecimal(corrected.value.value, decimals, 'half-even'),
    measured: { text, value, unit },
    corrections: corrected.value.corrections,
    budget: budget.value,
    judgement: judgement.value,
  });
}

/** The lever of the sheet, where it names an adapter; otherwise the one that belongs to the wrench. */
export function leverOf(lever: Lever | undefined, metrology: InstrumentMetrology): LeverGeometry | undefined {
  if (lever === undefined) return metrology.lever;
  const { wrenchLength, extension, angleDegrees, unit, lengthsUncertainty } = lever;
  return {
    wrenchLength,
    extension,
    angleDegrees,
    unit,
    wrenchLengthHalfWidth: lengthsUncertainty,
    extensionHalfWidth: lengthsUncertainty,
  };
}

function withLever(metrology: InstrumentMetrology, lever: LeverGeometry | undefined): InstrumentMetrology {
  const { lever: _own, ...rest } = metrology;
  return lever === undefined ? rest : { ...rest, lever: { ...lever } };
}

interface Corrected {
  readonly value: Rational;
  readonly corrections: readonly Correction[];
}

function correctAll(
  step: MeasuredStep,
  instrument: MeasuringInstrument,
  indication: Reading,
  tare: Reading | null,
  lever: LeverGeometry | undefined,
): Result<Corrected> {
  const unit = step.band.unit;
  const gross = convert(indication.text, indication.unit, unit);
  if (!gross.ok) return gross;
  const tared = tare === null ? ok(zero) : convert(tare.text, tare.unit, unit);
  if (!tared.ok) return tared;
  const corrections: Correction[] = [];
  let value = subtract(gross.value, tared.value);
  const apply = (name: string, amount: Rational, source: string) => {
    if (amount.numerator === 0n) return;
    // The stored correction is a double; what is added is exactly what is stored.
    const stored = toNumber(amount);
    corrections.push({ name, value: stored, unit, source });
    value = add(value, rationalOfNumber(stored));
  };

  const isDifference = step.kind === 'mass' && step.method === 'difference';
  if (isDifference) {
    apply(
      'by difference',
      multiply(value, rationalOfNumber(-2)),
      'weighed before and after: what left counts',
    );
  }
  const { certificate, correctByCertificate } = instrument;
  if (certificate !== null && correctByCertificate) {
    const atGross = certificateCorrection(certificate, indication, unit);
    if (!atGross.ok) return atGross;
    const atTare = tare === null ? ok(zero) : certificateCorrection(certificate, tare, unit);
    if (!atTare.ok) return atTare;
    const error = subtract(atGross.value, atTare.value);
    apply('calibration', isDifference ? negate(error) : error, `certificate ${certificate.number}`);
  }
  if (lever !== undefined) {
    apply('lever', multiply(value, subtract(leverRatio(lever), one)), 'lever geometry (L + E·cos α)/L');
  }
  if (step.kind === 'torque' && step.direction === 'counter-clockwise') {
    apply(
      'direction',
      multiply(value, rationalOfNumber(-2)),
      'tightened counter-clockwise: the sign is turned',
    );
  }
  if (step.kind === 'mass') {
    const residue = convert(step.residueLossGrams ?? 0, 'g', unit);
    if (!residue.ok) return residue;
    apply('residue', negate(residue.value), 'sheet: what stays on dish and tool');
    if (step.buoyancy?.apply === true) {
      const factor = buoyancyFactor({
        materialDensity: step.buoyancy.materialDensityKilogramsPerCubicMetre,
        airDensity: step.buoyancy.airDensityKilogramsPerCubicMetre,
      });
      apply('buoyancy', multiply(value, subtract(rationalOfNumber(factor), one)), 'OIML D 28: air buoyancy');
    }
  }
  return ok({ value, corrections });
}

/** Calibrations are made in the tightening direction: a reading to the other side is corrected by its size. */
function certificateCorrection(certificate: Certificate, reading: Reading, unit: Unit): Result<Rational> {
  const exact = convert(reading.text, reading.unit, certificate.unit);
  if (!exact.ok) return exact;
  const isTurned = quantityOf(unit) === 'torque' && exact.value.numerator < 0n;
  const size = isTurned ? negate(exact.value) : exact.value;
  const correction = correctIndication(certificate, certificate.asLeft, size, certificate.unit);
  if (!correction.ok) return correction;
  const signed = isTurned ? negate(correction.value.correction) : correction.value.correction;
  return convert(signed, certificate.unit, unit);
}

/** Decimals with which the instrument's step is shown in another unit: a step of 0.1 lbf.in is 0.01 N.m. */
export function shownDecimals(metrology: InstrumentMetrology, indication: Reading, unit: Unit): number {
  if (indication.unit === unit) return decimalsOf(indication.text);
  const step = convert(resolutionAt(metrology, Number(indication.text)) ?? 1, metrology.unit, unit);
  const size = step.ok ? toNumber(step.value) : 1;
  return Math.min(9, Math.max(0, Math.ceil(-Math.log10(size))));
}
