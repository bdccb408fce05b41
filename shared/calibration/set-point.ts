import { z } from 'zod';
import { type Band, bandSchema, checkBand } from '../acceptance/band.ts';
import type { Limits } from '../acceptance/conformance.ts';
import { type DecisionRule, decisionRuleSchema, ruleSources } from '../acceptance/rule.ts';
import { type ExpandedUncertainty, expandedUncertaintySchema } from '../acceptance/uncertainty.ts';
import { type ExactLimits, exactZone, limitsAsNumbers } from '../acceptance/zone.ts';
import { convert } from '../quantity/conversion.ts';
import { exactDecimal, formatDecimal, rationalOfNumber, roundToInteger } from '../quantity/decimal-text.ts';
import {
  add,
  compare,
  divide,
  multiply,
  type Rational,
  rational,
  subtract,
  toNumber,
} from '../quantity/rational.ts';
import { sensibleNumberSchema } from '../quantity/sensible-number.ts';
import { quantityOf, type Unit } from '../quantity/unit.ts';
import { spelledUnitSchema } from '../quantity/unit-text.ts';
import { ok, type Result, refuse } from '../result.ts';
import { type LeverGeometry, leverGeometrySchema, torqueAtRing, torqueAtWrench } from './lever.ts';
import { type SetPointWarning, setPointWarnings } from './set-point-warning.ts';

const positive = sensibleNumberSchema.refine((value) => value > 0, { message: 'must be above zero' });

/** What `setpoint` reads. Without uncertainty and rule the tolerance band itself is the zone. */
export const setPointRequestSchema = z.strictObject({
  band: bandSchema,
  uncertainty: expandedUncertaintySchema.optional(),
  rule: decisionRuleSchema.optional(),
  wrench: z.strictObject({
    unit: spelledUnitSchema,
    graduation: positive,
    minimum: sensibleNumberSchema.optional(),
    maximum: sensibleNumberSchema.optional(),
  }),
  lever: leverGeometrySchema.optional(),
  equivalent: z.strictObject({ value: positive, unit: spelledUnitSchema }).optional(),
});

export interface SetPointRequest {
  readonly band: Band;
  readonly uncertainty?: ExpandedUncertainty | undefined;
  readonly rule?: DecisionRule | undefined;
  readonly wrench: {
    readonly unit: Unit;
    readonly graduation: number;
    readonly minimum?: number | undefined;
    readonly maximum?: number | undefined;
  };
  readonly lever?: LeverGeometry | undefined;
  /** A setting that people treat as the same, to be tested. */
  readonly equivalent?: { readonly value: number; readonly unit: Unit } | undefined;
}

/** A setting of the wrench and what it does at the ring. */
export interface Setting {
  /** On the wrench, in `unit`. */
  readonly value: number;
  readonly text: string;
  readonly unit: Unit;
  /** At the ring, in the band's unit. */
  readonly atRing: { readonly value: number; readonly unit: Unit };
  /** Against the torque aimed at, in percent of it; negative is low. */
  readonly deviationPercent: number;
  readonly insideTolerance: boolean;
  readonly insideAcceptance: boolean;
}

export interface SetPoint {
  /** The torque aimed at, at the ring: the target, or the middle of the zone. */
  readonly target: { readonly value: number; readonly unit: Unit };
  readonly tolerance: Limits;
  /** In the band's unit; `null` where the uncertainty leaves no zone. */
  readonly acceptance: Limits | null;
  /** The same zone on the wrench, in its own unit. */
  readonly acceptanceOnWrench: (Limits & { readonly unit: Unit }) | null;
  /** The target on the wrench before rounding to a graduation. */
  readonly unrounded: { readonly value: number; readonly text: string; readonly unit: Unit };
  /** The nearest graduation. */
  readonly rounded: Setting;
  /** The equivalent that was asked about. */
  readonly equivalent: Setting | null;
  /** What to set: the graduation nearest to the target that is inside the zone, `null` where there is none. */
  readonly setPoint: Setting | null;
  readonly warnings: readonly SetPointWarning[];
}

/** Everything that settings are tested against. */
interface Frame {
  readonly request: SetPointRequest;
  readonly target: Rational;
  readonly tolerance: ExactLimits;
  readonly acceptance: ExactLimits | null;
}

/**
 * The set-point of a click wrench for a torque at the ring, through its extension, in the wrench's own unit
 * and graduation. Says where rounding or an "equivalent" leaves the acceptance zone, and what to set instead.
 */
export function setPointOf(request: SetPointRequest): Result<SetPoint> {
  const framed = frameOf(request);
  if (!framed.ok) return framed;
  const frame = framed.value;
  const { wrench, lever, band } = request;
  const onWrench = (atRing: Rational) => exactly(torqueAtWrench(atRing, lever), band.unit, wrench.unit);
  const unrounded = onWrench(frame.target);
  const graduation = rationalOfNumber(wrench.graduation);
  const rounded = multiply(rational(roundToInteger(divide(unrounded, graduation), 'half-even')), graduation);
  const inside = nearestInside(frame, unrounded, graduation, onWrench);
  const equivalent =
    request.equivalent === undefined
      ? null
      : settingOf(frame, rationalOfNumber(request.equivalent.value), request.equivalent.unit);
  const roundedSetting = settingOf(frame, rounded, wrench.unit);
  const setPoint = inside === null ? null : settingOf(frame, inside, wrench.unit);
  return ok({
    target: { value: toNumber(frame.target), unit: band.unit },
    tolerance: limitsAsNumbers(frame.tolerance),
    acceptance: frame.acceptance === null ? null : limitsAsNumbers(frame.acceptance),
    acceptanceOnWrench:
      frame.acceptance === null
        ? null
        : {
            ...limitsAsNumbers({
              lower: frame.acceptance.lower === null ? null : onWrench(frame.acceptance.lower),
              upper: frame.acceptance.upper === null ? null : onWrench(frame.acceptance.upper),
            }),
            unit: wrench.unit,
          },
    unrounded: { value: toNumber(unrounded), text: shortText(unrounded), unit: wrench.unit },
    rounded: roundedSetting,
    equivalent,
    setPoint,
    warnings: setPointWarnings({
      zoneIsEmpty: frame.acceptance === null,
      graduationText: `${wrench.graduation} ${wrench.unit}`,
      rounded: roundedSetting,
      equivalent,
      setPoint,
    }),
  });
}

function frameOf(request: SetPointRequest): Result<Frame> {
  const { band, wrench, uncertainty, rule } = request;
  const checked = checkBand(band);
  if (!checked.ok) return checked;
  for (const [field, unit] of [
    ['band.unit', band.unit],
    ['wrench.unit', wrench.unit],
    ['equivalent.unit', request.equivalent?.unit ?? wrench.unit],
  ] as const) {
    if (quantityOf(unit) !== 'torque') {
      return refuse(
        'mixed_quantities',
        field,
        `${unit} measures ${quantityOf(unit)}; a set-point is a torque`,
      );
    }
  }
  if (wrench.minimum !== undefined && wrench.maximum !== undefined && wrench.minimum >= wrench.maximum) {
    return refuse(
      'inverted_limits',
      'wrench.minimum',
      `${wrench.minimum} is not below maximum ${wrench.maximum}; correct the range`,
    );
  }
  if (rule !== undefined && rule.kind !== 'simple' && uncertainty === undefined) {
    return refuse('missing', 'uncertainty', `missing; the rule "${rule.kind}" needs it`);
  }
  const tolerance: ExactLimits = {
    lower: band.lower === undefined ? null : rationalOfNumber(band.lower),
    upper: band.upper === undefined ? null : rationalOfNumber(band.upper),
  };
  let acceptance: ExactLimits | null = tolerance;
  if (uncertainty !== undefined) {
    const usual: DecisionRule = { kind: 'guarded', factor: 1, source: ruleSources.guarded };
    const zone = exactZone(band, uncertainty, rule ?? usual);
    if (!zone.ok) return zone;
    acceptance = zone.value.acceptance;
  }
  const target = targetOf(band, tolerance);
  if (target === null) {
    return refuse('missing', 'band.target', 'missing; a one-sided band needs the torque to aim at');
  }
  if (target.numerator <= 0n) {
    return refuse('not_positive', 'band.target', 'must be above zero; give the torque to aim at');
  }
  return ok({ request, target, tolerance, acceptance });
}

function targetOf(band: Band, { lower, upper }: ExactLimits): Rational | null {
  if (band.target !== undefined) return rationalOfNumber(band.target);
  return lower === null || upper === null ? null : multiply(add(lower, upper), rational(1n, 2n));
}

/** Conversion between torque units that were checked before. */
function exactly(value: Rational, from: Unit, to: Unit): Rational {
  const converted = convert(value, from, to);
  if (!converted.ok) throw new RangeError(converted.error.message);
  return converted.value;
}

function isWithin(value: Rational, limits: ExactLimits | null): boolean {
  if (limits === null) return false;
  const aboveLower = limits.lower === null || compare(value, limits.lower) >= 0;
  return aboveLower && (limits.upper === null || compare(value, limits.upper) <= 0);
}

function settingOf(frame: Frame, value: Rational, unit: Unit): Setting {
  const bandUnit = frame.request.band.unit;
  const atRing = torqueAtRing(exactly(value, unit, bandUnit), frame.request.lever);
  const deviation = divide(subtract(atRing, frame.target), frame.target);
  return {
    value: toNumber(value),
    text: shortText(value),
    unit,
    atRing: { value: toNumber(atRing), unit: bandUnit },
    deviationPercent: toNumber(multiply(deviation, rational(100n))),
    insideTolerance: isWithin(atRing, frame.tolerance),
    insideAcceptance: isWithin(atRing, frame.acceptance),
  };
}

/** The graduation nearest to the target among those inside the zone and the wrench's range. */
function nearestInside(
  frame: Frame,
  unrounded: Rational,
  graduation: Rational,
  onWrench: (atRing: Rational) => Rational,
): Rational | null {
  const { wrench } = frame.request;
  if (frame.acceptance === null) return null;
  const floors = [
    frame.acceptance.lower === null ? null : onWrench(frame.acceptance.lower),
    wrench.minimum === undefined ? null : rationalOfNumber(wrench.minimum),
    rational(0n),
  ].flatMap((limit) => (limit === null ? [] : [ceiling(divide(limit, graduation))]));
  const ceilings = [
    frame.acceptance.upper === null ? null : onWrench(frame.acceptance.upper),
    wrench.maximum === undefined ? null : rationalOfNumber(wrench.maximum),
  ].flatMap((limit) => (limit === null ? [] : [floor(divide(limit, graduation))]));
  const first = [...floors].sort(byValue).at(-1) ?? 0n;
  const last = [...ceilings].sort(byValue)[0] ?? null;
  if (last !== null && first > last) return null;
  const wanted = roundToInteger(divide(unrounded, graduation), 'half-even');
  const steps = wanted < first ? first : last !== null && wanted > last ? last : wanted;
  return multiply(rational(steps), graduation);
}

function byValue(a: bigint, b: bigint): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function floor(value: Rational): bigint {
  const quotient = value.numerator / value.denominator;
  return value.numerator < 0n && quotient * value.denominator !== value.numerator ? quotient - 1n : quotient;
}

function ceiling(value: Rational): bigint {
  return -floor({ numerator: -value.numerator, denominator: value.denominator });
}

function shortText(value: Rational): string {
  const exact = exactDecimal(value);
  return exact !== null && exact.length <= 12 ? exact : formatDecimal(value, 4, 'half-even');
}
