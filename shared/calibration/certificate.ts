import { z } from 'zod';
import { convert } from '../quantity/conversion.ts';
import { exactDecimal, rationalOfNumber } from '../quantity/decimal-text.ts';
import {
  add,
  compare,
  divide,
  multiply,
  negate,
  type Rational,
  subtract,
  toNumber,
} from '../quantity/rational.ts';
import { sensibleNumberSchema } from '../quantity/sensible-number.ts';
import { quantityOf, type Unit } from '../quantity/unit.ts';
import { spelledUnitSchema } from '../quantity/unit-text.ts';
import { ok, type Result, refuse } from '../result.ts';

/** A calibration point: error = indication − reference, with its expanded uncertainty; all in the certificate's unit. */
export type CalibrationPoint = {
  readonly indication: number;
  readonly reference: number;
  readonly expanded: number;
  readonly k: number;
};

/** A calibration certificate (JCGM 200:2012, 2.39), points in rising order of indication. */
export interface Certificate {
  readonly number: string;
  readonly provider: string;
  /** The standard that it was calibrated against, as the certificate names it. */
  readonly reference: string;
  /** Day of calibration, and the last day on which it is good; ISO 8601 dates. */
  readonly date: string;
  readonly due: string;
  readonly unit: Unit;
  /** Before adjustment; the same as `asLeft` where nothing was adjusted. */
  readonly asFound: readonly CalibrationPoint[];
  readonly asLeft: readonly CalibrationPoint[];
}

const positive = sensibleNumberSchema.refine((value) => value > 0, { message: 'must be above zero' });
const isoDate = z.iso.date({ error: 'is not a day of the calendar; write it like 2026-03-01' });

/** Of a point, two of these are given; the third follows exactly. */
export const pointErrorShape = {
  indication: sensibleNumberSchema.optional(),
  reference: sensibleNumberSchema.optional(),
  error: sensibleNumberSchema.optional(),
};
type GivenPoint = { readonly [Field in keyof typeof pointErrorShape]?: number | undefined };

/** Completes a point; complains where not exactly two of the three are given. */
export function completePoint(
  { indication, reference, error }: GivenPoint,
  uncertainty: Pick<CalibrationPoint, 'expanded' | 'k'>,
  context: z.core.$RefinementCtx,
): CalibrationPoint {
  const known = [indication, reference, error].filter((value) => value !== undefined).length;
  if (known !== 2) {
    context.addIssue({
      code: 'custom',
      message: 'needs two of indication, reference and error (error = indication − reference)',
    });
    return z.NEVER;
  }
  return {
    indication: indication ?? exactSum(reference ?? 0, error ?? 0),
    reference: reference ?? exactSum(indication ?? 0, -(error ?? 0)),
    ...uncertainty,
  };
}

function exactSum(a: number, b: number): number {
  return toNumber(add(rationalOfNumber(a), rationalOfNumber(b)));
}

/** A list of points in rising order of indication, none of them twice. */
export function pointListSchema<Schema extends z.ZodType<CalibrationPoint>>(point: Schema) {
  return z
    .array(point)
    .min(1, 'is empty; give at least one calibration point')
    .transform((list) => [...list].sort((a, b) => a.indication - b.indication))
    .refine((list) => list.every((item, index) => item.indication !== list[index + 1]?.indication), {
      message: 'holds two points with the same indication; keep one of them',
    });
}

const points = pointListSchema(
  z
    .strictObject({ ...pointErrorShape, expanded: positive, k: positive })
    .transform(({ expanded, k, ...given }, context) => completePoint(given, { expanded, k }, context)),
);

/** A certificate in a file; points give two of indication, reference and error. */
export const certificateSchema = z
  .strictObject({
    number: z.string().min(1).max(120),
    provider: z.string().min(1).max(200),
    reference: z.string().min(1).max(300),
    date: isoDate,
    due: isoDate,
    unit: spelledUnitSchema,
    asFound: points.optional(),
    asLeft: points,
  })
  .refine(({ date, due }) => due >= date, { path: ['due'], message: 'lies before date; correct one of them' })
  .transform(
    (certificate): Certificate => ({
      ...certificate,
      asFound: certificate.asFound ?? certificate.asLeft,
    }),
  );

export const calibrationStates = ['valid', 'due soon', 'out of date', 'not yet valid'] as const;
export type CalibrationState = (typeof calibrationStates)[number];

/**
 * State of a certificate on the day of an ISO 8601 time (its own calendar date counts). The due day itself is
 * still good; `due soon` begins `warnDays` before it.
 */
export function calibrationState(
  certificate: Pick<Certificate, 'date' | 'due'>,
  atIso: string,
  warnDays = 30,
): CalibrationState {
  const day = atIso.slice(0, 10);
  if (day < certificate.date) return 'not yet valid';
  if (day > certificate.due) return 'out of date';
  return daysBetween(day, certificate.due) <= warnDays ? 'due soon' : 'valid';
}

/** Whole days from one ISO 8601 date or time to another, by their calendar dates. */
export function daysBetween(fromIso: string, toIso: string): number {
  const at = (text: string) => Date.parse(`${text.slice(0, 10)}T00:00:00Z`);
  return Math.round((at(toIso) - at(fromIso)) / 86_400_000);
}

/** What a certificate says about one indication, in the certificate's unit. */
export interface Correction {
  readonly unit: Unit;
  /** To be added to the indication: minus the interpolated error, exact. */
  readonly correction: Rational;
  readonly corrected: Rational;
  /** The larger standard uncertainty of the two neighbouring points. */
  readonly standardUncertainty: number;
  /**
   * Half of the error's change between the neighbouring points: how far a straight line between them may be
   * off (common practice, no source). Zero on a point.
   */
  readonly linearityHalfWidth: number;
}

/**
 * Corrects an indication by straight lines between the calibration points. Inside the calibrated range only:
 * outside it is refused, since the certificate says nothing there.
 */
export function correctIndication(
  certificate: Pick<Certificate, 'unit'>,
  calibrationPoints: readonly CalibrationPoint[],
  indication: Rational,
  unit: Unit,
): Result<Correction> {
  const converted = convert(indication, unit, certificate.unit);
  if (!converted.ok) return refuse(converted.error.code, 'indication.unit', converted.error.message);
  const value = converted.value;
  const upperIndex = calibrationPoints.findIndex(
    (item) => compare(rationalOfNumber(item.indication), value) >= 0,
  );
  const upper = calibrationPoints[upperIndex];
  const lower =
    upper !== undefined && compare(rationalOfNumber(upper.indication), value) === 0
      ? upper
      : calibrationPoints[upperIndex - 1];
  if (upper === undefined || lower === undefined) {
    const range = `${calibrationPoints[0]?.indication} … ${calibrationPoints.at(-1)?.indication} ${certificate.unit}`;
    return refuse(
      'outside_calibration_range',
      'indication',
      `${exactDecimal(value) ?? toNumber(value)} ${certificate.unit} lies outside the calibrated range ${range} of a ${quantityOf(certificate.unit)} certificate; use an instrument calibrated there`,
    );
  }
  const error = interpolate(lower, upper, value);
  return ok({
    unit: certificate.unit,
    correction: negate(error),
    corrected: subtract(value, error),
    standardUncertainty: Math.max(lower.expanded / lower.k, upper.expanded / upper.k),
    linearityHalfWidth: Math.abs(toNumber(subtract(errorOf(upper), errorOf(lower)))) / 2,
  });
}

/** Error of a point: indication − reference, exact. */
export function errorOf({ indication, reference }: CalibrationPoint): Rational {
  return subtract(rationalOfNumber(indication), rationalOfNumber(reference));
}

function interpolate(lower: CalibrationPoint, upper: CalibrationPoint, value: Rational): Rational {
  if (lower === upper) return errorOf(lower);
  const start = rationalOfNumber(lower.indication);
  const fraction = divide(subtract(value, start), subtract(rationalOfNumber(upper.indication), start));
  return add(errorOf(lower), multiply(fraction, subtract(errorOf(upper), errorOf(lower))));
}
