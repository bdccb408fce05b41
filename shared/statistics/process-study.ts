import type { Band } from '../acceptance/band.ts';
import { convertNumber } from '../quantity/conversion.ts';
import type { Unit } from '../quantity/unit.ts';
import {
  type Capability,
  capability,
  movingRangeEstimate,
  overallEstimate,
  type ProcessEstimate,
  type SpecificationLimits,
} from './capability.ts';
import { type IndividualsChart, individualsChart } from './control-chart.ts';
import { type ProcessRisk, processRisk, type ReadingZone } from './process-risk.ts';
import { type RunRuleSet, type RunSignal, runSignals } from './run-rules.ts';

/** One reading of a process with the band that it was judged by. */
export interface ProcessReading {
  readonly value: number;
  readonly unit: Unit;
  readonly band: Band;
  /** How it was measured and what was accepted, in its own unit; left out where that is not known. */
  readonly zone?: ReadingZone;
}

/** What a row of readings says about the process that made them. */
export interface ProcessStudy {
  /** `deviation`: bands differ, so each value is taken from the target of its own band. */
  readonly basis: 'value' | 'deviation';
  /** Of all numbers here: that of the newest reading. */
  readonly unit: Unit;
  readonly values: readonly number[];
  /** Common to all readings; null where their bands have nothing in common. */
  readonly specification: (SpecificationLimits & { readonly target: number | null }) | null;
  /** Null below two readings. */
  readonly chart: IndividualsChart | null;
  /** Run rules on the individuals; none where the readings never change. */
  readonly signals: readonly RunSignal[];
  /** Indices of moving ranges above their upper limit; 0 is the range from the first to the second reading. */
  readonly rangeSignals: readonly number[];
  readonly within: ProcessEstimate | null;
  readonly overall: ProcessEstimate | null;
  /** Cp and Cpk by the moving range; null without a specification or without any change. */
  readonly capability: Capability | null;
  /** Pp and Ppk by all readings together. */
  readonly performance: Capability | null;
  /** Global risks with the uncertainty and acceptance limits of the newest reading; null where they say nothing. */
  readonly risk: ProcessRisk | null;
}

/**
 * Chart of individuals and moving ranges, run rules and capability of readings in the order made. Where they were
 * judged by different bands, the deviation from each one's target is charted (a short-run chart by deviation from
 * nominal, common practice, no source): it supposes that the spread is the same for all of them.
 */
export function studyProcess(
  readings: readonly ProcessReading[],
  rules: RunRuleSet,
  confidence = 0.95,
): ProcessStudy {
  const unit = readings.at(-1)?.unit ?? 'g';
  const inUnit = readings.map(({ value, unit: own, band }) => ({
    value: convertNumber(value, own, unit),
    limits: limitsIn(band, unit),
  }));
  const [first] = inUnit;
  const isOneBand = inUnit.every(({ limits }) => first !== undefined && isSame(limits, first.limits));
  const charted = isOneBand ? inUnit : inUnit.map(fromNominal);
  const specification = commonOf(charted.map(({ limits }) => limits));
  const values = charted.map(({ value }) => value);
  const chart = values.length < 2 ? null : individualsChart(values);
  const within = chart === null ? null : movingRangeEstimate(values);
  const overall = chart === null ? null : overallEstimate(values);
  return {
    basis: isOneBand ? 'value' : 'deviation',
    unit,
    values,
    specification,
    chart,
    signals: chart === null ? [] : signalsOf(values, chart, rules),
    rangeSignals: (chart?.movingRanges ?? []).flatMap((range, index) =>
      chart !== null && range > chart.movingRange.upper ? [index] : [],
    ),
    within,
    overall,
    capability: capabilityOf(within, specification, confidence),
    performance: capabilityOf(overall, specification, confidence),
    risk: riskOf(readings.at(-1), isOneBand, unit, overall, specification),
  };
}

function riskOf(
  newest: ProcessReading | undefined,
  isOneBand: boolean,
  unit: Unit,
  overall: ProcessEstimate | null,
  specification: SpecificationLimits | null,
): ProcessRisk | null {
  if (newest?.zone === undefined || overall === null || specification === null) return null;
  const { band, zone, unit: own } = newest;
  const limits = limitsIn(band, unit);
  const nominal = isOneBand ? 0 : nominalOf(limits);
  const inUnit = (limit: number | null) =>
    limit === null ? null : convertNumber(limit, own, unit) - nominal;
  return processRisk(overall, specification, {
    standardUncertainty: convertNumber(zone.standardUncertainty, own, unit),
    acceptance: zone.acceptance && {
      lower: inUnit(zone.acceptance.lower),
      upper: inUnit(zone.acceptance.upper),
    },
  });
}

interface Limits extends SpecificationLimits {
  readonly target: number | null;
}

function limitsIn(band: Band, unit: Unit): Limits {
  const convert = (value: number | undefined) =>
    value === undefined ? null : convertNumber(value, band.unit, unit);
  return { lower: convert(band.lower), upper: convert(band.upper), target: convert(band.target) };
}

function nominalOf({ lower, upper, target }: Limits): number {
  const middle = lower !== null && upper !== null ? (lower + upper) / 2 : (lower ?? upper ?? 0);
  return target ?? middle;
}

function fromNominal({ value, limits }: { readonly value: number; readonly limits: Limits }) {
  const { lower, upper } = limits;
  const nominal = nominalOf(limits);
  const shift = (limit: number | null) => (limit === null ? null : limit - nominal);
  return { value: value - nominal, limits: { lower: shift(lower), upper: shift(upper), target: 0 } };
}

function commonOf(limits: readonly Limits[]): Limits | null {
  const [first] = limits;
  if (first === undefined || !limits.every((one) => isSame(one, first))) return null;
  return first;
}

/** Equal but for the rounding of a conversion. */
function isSame(one: Limits, other: Limits): boolean {
  const isNear = (a: number | null, b: number | null) =>
    a === null || b === null ? a === b : Math.abs(a - b) <= 1e-9 * Math.max(1, Math.abs(a), Math.abs(b));
  return isNear(one.lower, other.lower) && isNear(one.upper, other.upper) && isNear(one.target, other.target);
}

function signalsOf(values: readonly number[], chart: IndividualsChart, rules: RunRuleSet): RunSignal[] {
  const { standardDeviation, individuals } = chart;
  if (!(standardDeviation > 0)) return [];
  return runSignals(
    values.map((value) => (value - individuals.centre) / standardDeviation),
    rules,
  );
}

function capabilityOf(
  estimate: ProcessEstimate | null,
  specification: SpecificationLimits | null,
  confidence: number,
): Capability | null {
  if (estimate === null || specification === null || !(estimate.standardDeviation > 0)) return null;
  return capability(estimate, specification, confidence);
}
