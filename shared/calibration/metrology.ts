import { z } from 'zod';
import { type Budget, type Coverage, evaluateBudget } from '../acceptance/budget.ts';
import type { Contribution } from '../acceptance/contribution.ts';
import type { Reading } from '../acceptance/judgement.ts';
import { convert } from '../quantity/conversion.ts';
import { rationalOf } from '../quantity/decimal-text.ts';
import { absolute, type Rational, subtract, toNumber, zero } from '../quantity/rational.ts';
import { sensibleNumberSchema } from '../quantity/sensible-number.ts';
import { quantityOf, quantitySchema, type Unit } from '../quantity/unit.ts';
import { spelledUnitSchema } from '../quantity/unit-text.ts';
import { ok, type Result, refuse } from '../result.ts';
import { type Certificate, correctIndication, daysBetween } from './certificate.ts';
import { type LeverGeometry, leverContributions, leverGeometrySchema, leverRatio } from './lever.ts';

const positive = sensibleNumberSchema.refine((value) => value > 0, { message: 'must be above zero' });
const notNegative = sensibleNumberSchema.refine((value) => value >= 0, { message: 'must be zero or more' });

/** What is known of an instrument besides its certificate. All values in `unit`. */
export const instrumentMetrologySchema = z
  .strictObject({
    quantity: quantitySchema,
    unit: spelledUnitSchema,
    /** Digital step by range, rising; the last `upTo` is the capacity. */
    ranges: z
      .array(z.strictObject({ upTo: positive, resolution: positive }))
      .min(1, 'is empty; give a range'),
    repeatability: z.strictObject({ standardDeviation: notNegative, degreesOfFreedom: positive }).optional(),
    /** Absolute in `unit`, or relative to the reading (0.04 is 4 %). */
    maximumPermissibleError: z
      .discriminatedUnion('kind', [
        z.strictObject({ kind: z.literal('absolute'), value: positive }),
        z.strictObject({ kind: z.literal('relative'), fraction: positive }),
      ])
      .optional(),
    /** Most that the error changes in a day since calibration. */
    driftPerDay: notNegative.optional(),
    lever: leverGeometrySchema.optional(),
  })
  .refine(({ quantity, unit }) => quantityOf(unit) === quantity, {
    path: ['unit'],
    message: 'does not measure the quantity; correct one of them',
  })
  .refine(
    ({ ranges }) =>
      ranges.every((range, index) => range.upTo < (ranges[index + 1]?.upTo ?? Number.POSITIVE_INFINITY)),
    {
      path: ['ranges'],
      message: 'must rise from one upTo to the next',
    },
  );
export type InstrumentMetrology = z.infer<typeof instrumentMetrologySchema>;

export interface BudgetRequest {
  readonly metrology: InstrumentMetrology;
  /** `null` for an instrument that stands on its permissible error alone. */
  readonly certificate: Certificate | null;
  readonly indication: Reading;
  /** The tare weighed before; its step and repeatability count as well. */
  readonly tare?: Reading | undefined;
  /**
   * True where the certificate's error is taken off the indication: then U of the certificate and the linearity
   * between its points count. False: the maximum permissible error counts, as a rectangle.
   */
  readonly corrected: boolean;
  /** ISO 8601 time of the reading; with `driftPerDay` and a certificate it gives the drift. */
  readonly at: string;
  /** Unit of the budget, usually the band's. */
  readonly unit: Unit;
  readonly coverage?: Coverage | undefined;
  /** Half-width of what air buoyancy may change, in `unit`. */
  readonly buoyancyHalfWidth?: number | undefined;
}

/**
 * The uncertainty budget of one indication of an instrument, through its lever to the ring where it has one.
 * Refuses an indication above the capacity or outside the calibrated range (when corrected), and an
 * uncorrected instrument without a maximum permissible error.
 */
export function budgetOfIndication(request: BudgetRequest): Result<Budget> {
  const { metrology, certificate, corrected, unit } = request;
  const read = weighingsOf(request);
  if (!read.ok) return read;
  const weighings = read.value;
  const [gross, tare = zero] = weighings;

  const resolutions = resolutionContributions(metrology, weighings);
  if (!resolutions.ok) return resolutions;
  const traced = corrected
    ? certificateContributions(metrology, certificate, sizeOf(metrology, gross))
    : permissibleErrorContribution(metrology, subtract(gross, tare));
  if (!traced.ok) return traced;
  const atInstrument = [
    ...traced.value,
    ...driftContribution(metrology, certificate, request.at),
    ...resolutions.value,
    ...repeatabilityContribution(metrology, weighings.length),
  ];

  const atRing = throughLever(atInstrument, metrology.lever, metrology.unit, gross, unit);
  if (!atRing.ok) return atRing;
  const buoyancy: Contribution[] =
    request.buoyancyHalfWidth === undefined
      ? []
      : [
          {
            kind: 'rectangular',
            halfWidth: request.buoyancyHalfWidth,
            name: 'air buoyancy',
            cause: 'buoyancy',
            unit,
          },
        ];
  return evaluateBudget([...atRing.value, ...buoyancy], unit, request.coverage);
}

/** One reading, or gross and tare, exactly, in the instrument's unit. */
function weighingsOf(
  request: Pick<BudgetRequest, 'metrology' | 'indication' | 'tare'>,
): Result<readonly [Rational, ...Rational[]]> {
  const gross = valueIn(request.metrology.unit, request.indication, 'indication');
  if (!gross.ok) return gross;
  if (request.tare === undefined) return ok([gross.value]);
  const tare = valueIn(request.metrology.unit, request.tare, 'tare');
  return tare.ok ? ok([gross.value, tare.value]) : tare;
}

const missingCertificate = refuse(
  'no_certificate',
  'certificate',
  'missing; a correction needs a calibration certificate',
);

function valueIn(unit: Unit, reading: Reading, field: string): Result<Rational> {
  const exact = rationalOf('text' in reading ? reading.text : reading.value);
  if (exact === null) return refuse('not_finite', field, 'is not a finite decimal number; read it again');
  const converted = convert(exact, reading.unit, unit);
  return converted.ok ? converted : refuse(converted.error.code, `${field}.unit`, converted.error.message);
}

/** The digital step that the instrument shows a value with; `null` above its capacity. */
export function resolutionAt(metrology: Pick<InstrumentMetrology, 'ranges'>, value: number): number | null {
  return metrology.ranges.find(({ upTo }) => Math.abs(value) <= upTo)?.resolution ?? null;
}

function resolutionContributions(
  metrology: InstrumentMetrology,
  weighings: readonly Rational[],
): Result<Contribution[]> {
  const names = weighings.length > 1 ? ['resolution at gross', 'resolution at tare'] : ['resolution'];
  const lines: Contribution[] = [];
  for (const [index, weighing] of weighings.entries()) {
    const resolution = resolutionAt(metrology, toNumber(weighing));
    if (resolution === null) {
      return refuse(
        'above_capacity',
        index === 0 ? 'indication' : 'tare',
        `lies above the capacity of ${metrology.ranges.at(-1)?.upTo} ${metrology.unit}; use a larger instrument`,
      );
    }
    lines.push({
      kind: 'resolution',
      resolution,
      name: names[index] ?? 'resolution',
      cause: 'resolution',
      unit: metrology.unit,
    });
  }
  return ok(lines);
}

/** Wrenches are calibrated in the tightening direction: a reading to the other side counts by its size. */
function sizeOf(metrology: InstrumentMetrology, value: Rational): Rational {
  return metrology.quantity === 'torque' ? absolute(value) : value;
}

function certificateContributions(
  metrology: InstrumentMetrology,
  certificate: Certificate | null,
  value: Rational,
): Result<Contribution[]> {
  if (certificate === null) return missingCertificate;
  const correction = correctIndication(certificate, certificate.asLeft, value, metrology.unit);
  if (!correction.ok) return correction;
  const { standardUncertainty, linearityHalfWidth, unit } = correction.value;
  const source = `certificate ${certificate.number}`;
  return ok([
    { kind: 'standard', u: standardUncertainty, name: 'certificate', cause: 'certificate', unit, source },
    {
      kind: 'rectangular',
      halfWidth: linearityHalfWidth,
      name: 'linearity between points',
      cause: 'linearity',
      unit,
      source,
    },
  ]);
}

function permissibleErrorContribution(
  metrology: InstrumentMetrology,
  value: Rational,
): Result<Contribution[]> {
  const error = metrology.maximumPermissibleError;
  if (error === undefined) {
    return refuse(
      'no_error_bound',
      'maximumPermissibleError',
      'missing; enter it for the instrument, or apply the correction of its certificate',
    );
  }
  const halfWidth = error.kind === 'absolute' ? error.value : error.fraction * Math.abs(toNumber(value));
  return ok([
    {
      kind: 'rectangular',
      halfWidth,
      name: 'maximum permissible error',
      cause: 'maximum permissible error',
      unit: metrology.unit,
    },
  ]);
}

function driftContribution(
  metrology: InstrumentMetrology,
  certificate: Certificate | null,
  at: string,
): Contribution[] {
  if (metrology.driftPerDay === undefined || certificate === null) return [];
  const days = Math.max(0, daysBetween(certificate.date, at));
  return [
    {
      kind: 'rectangular',
      halfWidth: metrology.driftPerDay * days,
      name: 'drift since calibration',
      cause: 'drift',
      unit: metrology.unit,
    },
  ];
}

/** Every weighing scatters: gross and tare give √2 times the standard deviation of one. */
function repeatabilityContribution(metrology: InstrumentMetrology, readings: number): Contribution[] {
  const { repeatability } = metrology;
  if (repeatability === undefined) return [];
  return [
    {
      kind: 'standard',
      u: repeatability.standardDeviation * Math.sqrt(readings),
      degreesOfFreedom: repeatability.degreesOfFreedom,
      name: 'repeatability',
      cause: 'repeatability',
      unit: metrology.unit,
    },
  ];
}

/** Carries contributions at the wrench's drive to the ring, and adds those of the lengths. */
function throughLever(
  contributions: readonly Contribution[],
  lever: LeverGeometry | undefined,
  instrumentUnit: Unit,
  indication: Rational,
  unit: Unit,
): Result<Contribution[]> {
  if (lever === undefined) return ok([...contributions]);
  const ratio = toNumber(leverRatio(lever));
  const inBudgetUnit = convert(absolute(indication), instrumentUnit, unit);
  if (!inBudgetUnit.ok) return refuse(inBudgetUnit.error.code, 'unit', inBudgetUnit.error.message);
  return ok([
    ...contributions.map((contribution) => ({ ...contribution, sensitivity: ratio })),
    ...leverContributions(lever, toNumber(inBudgetUnit.value)),
  ]);
}
