import { z } from 'zod';
import { sensibleNumberSchema } from '../quantity/sensible-number.ts';
import { spelledUnitSchema } from '../quantity/unit-text.ts';
import { ok, type Result } from '../result.ts';
import { parseWith } from '../schema-refusal.ts';
import { certificateSchema, completePoint, pointErrorShape, pointListSchema } from './certificate.ts';
import type { AsFound } from './impact.ts';

/** What a file says of the errors that a calibration found, and on which day, where it says so. */
export interface AsFoundReport {
  readonly asFound: AsFound;
  readonly foundOn: string | null;
}

const foundOn = z.iso.date({ error: 'is not a day of the calendar; write it like 2026-03-01' }).optional();

/** Like a point of a certificate; its uncertainty may be left out, since only the error counts here. */
const pointsSchema = pointListSchema(
  z
    .strictObject({
      ...pointErrorShape,
      expanded: sensibleNumberSchema.positive().optional(),
      k: sensibleNumberSchema.positive().optional(),
    })
    .transform(({ expanded = 0, k = 1, ...given }, context) =>
      completePoint(given, { expanded, k }, context),
    ),
);

const byPointsSchema = z.strictObject({ unit: spelledUnitSchema, date: foundOn, points: pointsSchema });
const asCertifiedSchema = z.strictObject({ unit: spelledUnitSchema, date: foundOn, asFound: pointsSchema });
const oneErrorSchema = z.strictObject({
  unit: spelledUnitSchema,
  date: foundOn,
  error: sensibleNumberSchema,
});

/**
 * Reads the as-found errors of a calibration from a file: a whole certificate, or unit with `points` (or `asFound`),
 * each two of indication, reference and error; or unit with one `error` for the whole range; with `date` where known.
 * Refusals name the field.
 */
export function readAsFound(document: unknown): Result<AsFoundReport> {
  const has = (key: string) => typeof document === 'object' && document !== null && key in document;
  if (has('asLeft')) {
    const read = parseWith(certificateSchema, document);
    if (!read.ok) return read;
    const { unit, asFound: points, date } = read.value;
    return ok({ asFound: { unit, points }, foundOn: date });
  }
  if (has('asFound')) {
    const read = parseWith(asCertifiedSchema, document);
    if (!read.ok) return read;
    const { unit, asFound: points, date = null } = read.value;
    return ok({ asFound: { unit, points }, foundOn: date });
  }
  if (has('error')) {
    const read = parseWith(oneErrorSchema, document);
    if (!read.ok) return read;
    const { unit, error, date = null } = read.value;
    return ok({ asFound: { unit, error }, foundOn: date });
  }
  const read = parseWith(byPointsSchema, document);
  if (!read.ok) return read;
  const { unit, points, date = null } = read.value;
  return ok({ asFound: { unit, points }, foundOn: date });
}
