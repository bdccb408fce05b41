import { z } from 'zod';
import { sensibleNumberSchema } from '../quantity/sensible-number.ts';
import type { Unit } from '../quantity/unit.ts';
import { spelledUnitSchema } from '../quantity/unit-text.ts';
import { ok, type Refusal, type Result } from '../result.ts';

/**
 * Tolerance limits of a measurand (JCGM 106:2012, 3.3.4) with the target aimed at, all in `unit`.
 * One limit may be missing: then the band is one-sided. A value on a limit is inside.
 */
export interface Band {
  readonly target?: number | undefined;
  readonly lower?: number | undefined;
  readonly upper?: number | undefined;
  readonly unit: Unit;
}

/** What is wrong with a band, or `null`: limits present, finite and in order, the target between them. */
export function bandFault(band: Band): Refusal | null {
  const { target, lower, upper } = band;
  for (const [field, value] of Object.entries({ target, lower, upper })) {
    if (value !== undefined && !Number.isFinite(value)) {
      return {
        code: 'not_finite',
        field,
        message: `must be a finite number, not ${value}; give a decimal number`,
      };
    }
  }
  if (lower === undefined && upper === undefined) {
    return {
      code: 'no_limits',
      field: 'lower',
      message: 'missing, and upper too; give at least one tolerance limit',
    };
  }
  if (lower !== undefined && upper !== undefined && lower >= upper) {
    return {
      code: 'inverted_limits',
      field: 'lower',
      message: `${lower} is not below upper ${upper}; swap or correct the limits`,
      values: { lower, upper },
    };
  }
  if (target !== undefined && ((lower ?? target) > target || (upper ?? target) < target)) {
    return {
      code: 'target_outside',
      field: 'target',
      message: `${target} lies outside ${lower ?? '-∞'}…${upper ?? '∞'}; give a target between the limits`,
      values: { target },
    };
  }
  return null;
}

const limit = sensibleNumberSchema.nullish().transform((value) => value ?? undefined);

/** A band in a file: `{"target":27,"lower":25.92,"upper":28.08,"unit":"N.m"}`; a missing limit may be null. */
export const bandSchema = z
  .strictObject({ target: limit, lower: limit, upper: limit, unit: spelledUnitSchema })
  .superRefine((band, context) => {
    const fault = bandFault(band);
    if (fault === null) return;
    const { code, field, message, values } = fault;
    context.addIssue({ code: 'custom', path: [field], message, params: { code, values } });
  })
  .transform(({ target, lower, upper, unit }): Band => {
    return {
      ...(target === undefined ? {} : { target }),
      ...(lower === undefined ? {} : { lower }),
      ...(upper === undefined ? {} : { upper }),
      unit,
    };
  });

/** The band itself, or the refusal with `prefix` before the field. */
export function checkBand(band: Band, prefix = 'band'): Result<Band> {
  const fault = bandFault(band);
  return fault === null ? ok(band) : { ok: false, error: { ...fault, field: `${prefix}.${fault.field}` } };
}
