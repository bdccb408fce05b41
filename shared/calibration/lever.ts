import { z } from 'zod';
import type { Contribution } from '../acceptance/contribution.ts';
import { parseDecimal, rationalOfNumber } from '../quantity/decimal-text.ts';
import { add, divide, multiply, one, type Rational, toNumber } from '../quantity/rational.ts';
import { sensibleNumberSchema } from '../quantity/sensible-number.ts';

/**
 * An extension on the wrench's drive: lengths in one unit, from the hand to the drive (`wrenchLength`) and from the
 * drive to the ring's axis (`extension`), and the angle between both, 0 in line. Half-widths say within what
 * the lengths and the angle are known.
 */
export interface LeverGeometry {
  readonly wrenchLength: number;
  readonly extension: number;
  readonly angleDegrees: number;
  readonly unit: 'mm' | 'cm' | 'm' | 'in';
  readonly wrenchLengthHalfWidth?: number | undefined;
  readonly extensionHalfWidth?: number | undefined;
  readonly angleHalfWidthDegrees?: number | undefined;
}

const notNegative = sensibleNumberSchema.refine((value) => value >= 0, { message: 'must be zero or more' });

export const leverGeometrySchema = z
  .strictObject({
    wrenchLength: sensibleNumberSchema.refine((length) => length > 0, { message: 'must be above zero' }),
    extension: notNegative,
    angleDegrees: z
      .number()
      .refine((angle) => angle >= -180 && angle <= 180, { message: 'must lie between -180 and 180' })
      .default(0),
    unit: z.enum(['mm', 'cm', 'm', 'in']).default('mm'),
    wrenchLengthHalfWidth: notNegative.optional(),
    extensionHalfWidth: notNegative.optional(),
    angleHalfWidthDegrees: notNegative.optional(),
  })
  .refine(
    ({ wrenchLength, extension, angleDegrees }) =>
      // An angle beyond these has its own message; its cosine may not be a number.
      Math.abs(angleDegrees) > 180 || wrenchLength + extension * cosine(angleDegrees) > 0,
    {
      path: ['extension'],
      message: 'reaches back past the hand; give an extension shorter than wrenchLength, or a smaller angle',
    },
  );

/** Exact at the angles where people expect it: a right angle needs no correction at all. */
function exactCosine(degrees: number): Rational {
  const exact: Readonly<Record<number, string>> = { 0: '1', 60: '0.5', 90: '0', 120: '-0.5', 180: '-1' };
  const text = exact[Math.abs(degrees)];
  return (
    (text === undefined ? null : parseDecimal(text)) ?? rationalOfNumber(Math.cos((degrees * Math.PI) / 180))
  );
}

function cosine(degrees: number): number {
  return toNumber(exactCosine(degrees));
}

/**
 * Torque at the ring per torque at the wrench's drive: (L + E·cos α)/L. TM 9-254 (angled form), aircraft
 * maintenance manuals (in line). One without an extension.
 */
export function leverRatio(geometry: LeverGeometry | undefined): Rational {
  if (geometry === undefined) return one;
  const length = rationalOfNumber(geometry.wrenchLength);
  const reach = multiply(rationalOfNumber(geometry.extension), exactCosine(geometry.angleDegrees));
  return divide(add(length, reach), length);
}

/** What the wrench must show (or be set to) for a torque at the ring: S = T·L/(L + E·cos α). */
export function torqueAtWrench(atRing: Rational, geometry: LeverGeometry | undefined): Rational {
  return divide(atRing, leverRatio(geometry));
}

/** The torque at the ring when the wrench shows a torque: T = S·(L + E·cos α)/L. */
export function torqueAtRing(atWrench: Rational, geometry: LeverGeometry | undefined): Rational {
  return multiply(atWrench, leverRatio(geometry));
}

/**
 * What the lengths and the angle add to the uncertainty of the torque at the ring, for a torque at the
 * wrench; sensitivities are the partial derivatives of T = S·(L + E·cos α)/L per length unit and per degree.
 */
export function leverContributions(geometry: LeverGeometry, torqueAtWrenchValue: number): Contribution[] {
  const { wrenchLength, extension, angleDegrees, unit } = geometry;
  const perLength = torqueAtWrenchValue / wrenchLength;
  const lines: readonly (readonly [string, number | undefined, string, number])[] = [
    [
      'wrench length',
      geometry.wrenchLengthHalfWidth,
      unit,
      (-perLength * extension * cosine(angleDegrees)) / wrenchLength,
    ],
    ['extension length', geometry.extensionHalfWidth, unit, perLength * cosine(angleDegrees)],
    [
      'extension angle',
      geometry.angleHalfWidthDegrees,
      'degree',
      (-perLength * extension * Math.sin((angleDegrees * Math.PI) / 180) * Math.PI) / 180,
    ],
  ];
  return lines.flatMap(([name, halfWidth, lineUnit, sensitivity]): Contribution[] =>
    halfWidth === undefined
      ? []
      : [{ kind: 'rectangular', halfWidth, name, cause: 'geometry', unit: lineUnit, sensitivity }],
  );
}
