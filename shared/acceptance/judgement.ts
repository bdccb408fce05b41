import { z } from 'zod';
import { convert } from '../quantity/conversion.ts';
import { rationalOf } from '../quantity/decimal-text.ts';
import { compare, type Rational, rational, subtract, toNumber } from '../quantity/rational.ts';
import { sensibleNumberSchema } from '../quantity/sensible-number.ts';
import { type Quantity, quantityOf, quantitySchema, type Unit } from '../quantity/unit.ts';
import { quotedUnits, spelledUnitSchema } from '../quantity/unit-text.ts';
import { ok, type Refusal, type Result, refuse } from '../result.ts';
import { type Band, bandSchema } from './band.ts';
import { conformanceProbability, type Limits, nonconformanceProbability } from './conformance.ts';
import { type DecisionRule, decisionRuleSchema } from './rule.ts';
import { type ExpandedUncertainty, expandedUncertaintySchema } from './uncertainty.ts';
import { type ExactLimits, type ExactZone, exactZone, limitsAsNumbers, noAcceptanceZone } from './zone.ts';

/** ILAC-G8:09/2019, non-binary statements. Best first. */
export const decisions = ['pass', 'conditional pass', 'conditional fail', 'fail'] as const;
export const decisionSchema = z.enum(decisions);
export type Decision = z.infer<typeof decisionSchema>;

/** A reading as an instrument or a person gave it; `text` keeps its decimals and is taken exactly. */
export type Reading =
  | { readonly value: number; readonly unit: Unit }
  | { readonly text: string; readonly unit: Unit };

export interface JudgementRequest {
  readonly quantity: Quantity;
  readonly reading: Reading;
  readonly band: Band;
  readonly uncertainty: ExpandedUncertainty;
  readonly rule: DecisionRule;
}

/** A decision and everything that it stands on. All values are in `unit`, the band's unit. */
export interface Judgement {
  readonly quantity: Quantity;
  readonly value: number;
  readonly unit: Unit;
  readonly tolerance: Limits;
  /** Values that the rule accepts; `null` when there are none, `sentence` then says so. */
  readonly acceptance: Limits | null;
  /** Probability that the measurand lies within the tolerance. */
  readonly conformance: number;
  readonly decision: Decision;
  /** Distance to the nearest acceptance limit, positive inside; `null` without an acceptance zone. */
  readonly margin: number | null;
  readonly rule: DecisionRule;
  readonly uncertainty: ExpandedUncertainty;
  readonly sentence?: string;
}

const plainDecimal = /^[+-]?\d+(\.\d+)?([eE][+-]?\d{1,3})?$/;

const readingSchema = z.union([
  z.strictObject({ value: sensibleNumberSchema, unit: spelledUnitSchema }),
  z.strictObject({
    text: z.string().max(60).regex(plainDecimal, 'is not plain decimal text; write it like "80.40"'),
    unit: spelledUnitSchema,
  }),
]);

/** What `judge` reads: one question, complete. Fields besides these five are left alone. */
export const judgementRequestSchema = z.object({
  quantity: quantitySchema,
  reading: readingSchema,
  band: bandSchema,
  uncertainty: expandedUncertaintySchema,
  rule: decisionRuleSchema,
});

/**
 * Decides whether a reading conforms (JCGM 106:2012, ILAC-G8:09/2019), comparing exactly, in the band's unit:
 * 26.22 is inside 26.22…27.78. Refuses mixed quantities, numbers that are none, inverted limits and
 * uncertainties that are not above zero.
 */
export function judge(request: JudgementRequest): Result<Judgement> {
  const mixed = mixedQuantities(request);
  if (mixed !== null) return { ok: false, error: mixed };
  const { quantity, reading, band, uncertainty, rule } = request;
  const zone = exactZone(band, uncertainty, rule);
  if (!zone.ok) return zone;
  const field = 'text' in reading ? 'text' : 'value';
  const given = 'text' in reading ? reading.text : reading.value;
  const exact = rationalOf(given);
  if (exact === null) {
    return refuse(
      'not_finite',
      `reading.${field}`,
      `must be a finite decimal number, not ${given}; give the reading as the instrument shows it`,
    );
  }
  const value = convert(exact, reading.unit, band.unit);
  if (!value.ok) return refuse(value.error.code, 'reading.unit', value.error.message);
  if (!Number.isFinite(toNumber(value.value))) {
    return refuse(
      'out_of_range',
      `reading.${field}`,
      `${given} ${reading.unit} is too large to be a reading; correct it`,
    );
  }
  return ok(judgementOf(quantity, value.value, band.unit, zone.value, uncertainty, rule));
}

function judgementOf(
  quantity: Quantity,
  value: Rational,
  unit: Unit,
  zone: ExactZone,
  uncertainty: ExpandedUncertainty,
  rule: DecisionRule,
): Judgement {
  const tolerance = limitsAsNumbers(zone.tolerance);
  const u = toNumber(zone.standardUncertainty);
  return {
    quantity,
    value: toNumber(value),
    unit,
    tolerance,
    acceptance: zone.acceptance === null ? null : limitsAsNumbers(zone.acceptance),
    conformance: conformanceProbability(toNumber(value), u, tolerance),
    decision: decide(value, zone, rule),
    margin: zone.acceptance === null ? null : toNumber(distanceInside(value, zone.acceptance)),
    rule,
    uncertainty: { expanded: toNumber(zone.expandedUncertainty), k: uncertainty.k, unit },
    ...(zone.acceptance === null ? { sentence: noAcceptanceZone } : {}),
  };
}

/** Distance to the nearest limit, positive inside. There is always a limit: `checkBand` sees to it. */
function distanceInside(value: Rational, { lower, upper }: ExactLimits): Rational {
  const fromLower = lower === null ? null : subtract(value, lower);
  const fromUpper = upper === null ? null : subtract(upper, value);
  if (fromLower === null || fromUpper === null) return fromLower ?? fromUpper ?? rational(0n);
  return compare(fromLower, fromUpper) <= 0 ? fromLower : fromUpper;
}

function isInside(value: Rational, limits: ExactLimits): boolean {
  return distanceInside(value, limits).numerator >= 0n;
}

function decide(value: Rational, zone: ExactZone, rule: DecisionRule): Decision {
  const accepted = zone.acceptance !== null && isInside(value, zone.acceptance);
  if (accepted) return 'pass';
  if (isInside(value, zone.tolerance)) return 'conditional pass';
  return isNonconformanceShown(value, zone, rule) ? 'fail' : 'conditional fail';
}

/** Outside the tolerance by more than the guard band, or with the probability that the rule asks for. */
function isNonconformanceShown(value: Rational, zone: ExactZone, rule: DecisionRule): boolean {
  if (rule.kind === 'conformance') {
    const limits = limitsAsNumbers(zone.tolerance);
    return (
      nonconformanceProbability(toNumber(value), toNumber(zone.standardUncertainty), limits) >=
      rule.probability
    );
  }
  const outside = subtract(rational(0n), distanceInside(value, zone.tolerance));
  return compare(outside, zone.guardBand ?? rational(0n)) > 0;
}

/** The first unit that does not measure the quantity asked for, as a refusal. */
function mixedQuantities({ quantity, reading, band, uncertainty }: JudgementRequest): Refusal | null {
  const units: readonly (readonly [string, Unit])[] = [
    ['reading.unit', reading.unit],
    ['band.unit', band.unit],
    ['uncertainty.unit', uncertainty.unit],
  ];
  for (const [field, unit] of units) {
    if (quantityOf(unit) === quantity) continue;
    return {
      code: 'mixed_quantities',
      field,
      message: `${unit} measures ${quantityOf(unit)} but quantity is ${quantity}; choose one of ${quotedUnits(quantity)}, or correct quantity`,
    };
  }
  return null;
}
