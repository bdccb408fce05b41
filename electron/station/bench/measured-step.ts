import { torqueAtWrench } from '../../../shared/calibration/lever.ts';
import { resolutionAt } from '../../../shared/calibration/metrology.ts';
import type { MeasurementView } from '../../../shared/contract.ts';
import { certificateInForce, type InstrumentFitness } from '../../../shared/instrument/fitness.ts';
import type { Instrument } from '../../../shared/instrument/instrument.ts';
import type { JobState, StepState } from '../../../shared/job/state.ts';
import { leverOf, type MeasuringInstrument, measure } from '../../../shared/measurement/measure.ts';
import { convert } from '../../../shared/quantity/conversion.ts';
import { formatDecimal } from '../../../shared/quantity/decimal-text.ts';
import { add, toNumber } from '../../../shared/quantity/rational.ts';
import type { Unit } from '../../../shared/quantity/unit.ts';
import { findStep, type ServiceSheet } from '../../../shared/sheet/sheet.ts';
import type { MeasuredStep } from '../../../shared/sheet/step.ts';

/** The measured step that a job stands at. */
export interface MeasuredStepInHand {
  readonly step: MeasuredStep;
  readonly progress: StepState;
}

/** A step by its name, if it is one that measures. */
export function measuredStep(
  state: JobState,
  sheet: ServiceSheet,
  stepId: string | null,
): MeasuredStepInHand | null {
  if (stepId === null) return null;
  const step = findStep(sheet, stepId);
  const progress = state.steps.find((candidate) => candidate.stepId === stepId);
  if (progress === undefined || (step?.kind !== 'mass' && step?.kind !== 'torque')) return null;
  return { step, progress };
}

/** What is known of an instrument on the day, for measuring. */
export function measuringInstrument(instrument: Instrument, at: string): MeasuringInstrument {
  return {
    metrology: instrument.metrology,
    certificate: certificateInForce(instrument, at)?.certificate ?? null,
    correctByCertificate: instrument.correctByCertificate,
  };
}

/**
 * What the band gauge draws at a measured step: limits, the acceptance zone of this instrument at the target, and why a
 * capture is blocked, if it is.
 */
export function viewMeasurement(
  { step, progress }: MeasuredStepInHand,
  instrument: Instrument | undefined,
  fitness: InstrumentFitness | undefined,
  at: string,
): MeasurementView {
  const { band, rule } = step;
  const common = {
    stepId: step.stepId,
    quantity: step.kind,
    band,
    rule,
    unit: band.unit,
    tare:
      progress.tare === null
        ? null
        : { text: progress.tare.indication.text, unit: progress.tare.indication.unit },
    attempts: progress.attempts.length,
    maximumAttempts: step.maximumAttempts,
  };
  if (instrument === undefined || fitness === undefined) {
    const blocked = {
      code: 'instrument_missing',
      field: 'instrumentId',
      message: 'No instrument is chosen for this step; choose one.',
    };
    return {
      ...common,
      instrumentId: null,
      instrumentUnit: null,
      inInstrumentUnit: null,
      acceptance: null,
      expandedUncertainty: null,
      coverageFactor: null,
      blocked,
    };
  }
  const instrumentUnit = instrument.metrology.unit;
  const atTarget = targetIndication(step, instrument);
  const measuring = measuringInstrument(instrument, at);
  const tare = progress.tare?.indication ?? null;
  const shown =
    tare !== null && atTarget !== null
      ? { text: addTexts(atTarget.text, tare, atTarget.unit), unit: atTarget.unit }
      : atTarget;
  const judged = shown === null ? null : measure(step, measuring, shown, tare, at);
  return {
    ...common,
    instrumentId: instrument.instrumentId,
    instrumentUnit,
    inInstrumentUnit:
      instrumentUnit === band.unit && step.kind === 'mass' ? null : limitsOnDisplay(step, instrument),
    acceptance: judged?.ok === true ? judged.value.judgement.acceptance : null,
    expandedUncertainty: judged?.ok === true ? judged.value.judgement.uncertainty.expanded : null,
    coverageFactor: judged?.ok === true ? judged.value.judgement.uncertainty.k : null,
    blocked: fitness.usable
      ? judged !== null && !judged.ok
        ? judged.error
        : null
      : { code: `instrument_${fitness.code}`, field: 'instrumentId', message: fitness.message },
  };
}

/** The middle of the band as this instrument would show it. */
function targetIndication(step: MeasuredStep, instrument: Instrument): { text: string; unit: Unit } | null {
  const { target, lower, upper } = step.band;
  const middle =
    target ?? (lower !== undefined && upper !== undefined ? (lower + upper) / 2 : (lower ?? upper));
  const text = middle === undefined ? null : onDisplay(middle, step, instrument);
  return text === null ? null : { text, unit: instrument.metrology.unit };
}

function limitsOnDisplay(step: MeasuredStep, instrument: Instrument) {
  const { target, lower, upper } = step.band;
  const text = (value: number | undefined) =>
    value === undefined ? '' : (onDisplay(value, step, instrument) ?? '');
  return { target: text(target), lower: text(lower), upper: text(upper) };
}

/** A value of the band as the instrument's display shows it: through the lever, in its unit, with its decimals. */
function onDisplay(value: number, step: MeasuredStep, instrument: Instrument): string | null {
  const { metrology } = instrument;
  const converted = convert(value, step.band.unit, metrology.unit);
  if (!converted.ok) return null;
  const lever = step.kind === 'torque' ? leverOf(step.lever, metrology) : undefined;
  const atInstrument = torqueAtWrench(converted.value, lever);
  const resolution =
    resolutionAt(metrology, toNumber(atInstrument)) ?? metrology.ranges.at(-1)?.resolution ?? 1;
  const decimals = Math.max(0, Math.ceil(-Math.log10(resolution) - 1e-9));
  return formatDecimal(atInstrument, decimals, 'half-even');
}

/** Net plus tare: what the display shows when the net is in the dish. */
function addTexts(text: string, tare: { text: string; unit: Unit }, unit: Unit): string {
  const net = convert(text, unit, unit);
  const added = convert(tare.text, tare.unit, unit);
  if (!net.ok || !added.ok) return text;
  return formatDecimal(add(net.value, added.value), text.split('.')[1]?.length ?? 0, 'half-even');
}
