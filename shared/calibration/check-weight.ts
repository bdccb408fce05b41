import { z } from 'zod';
import { ok, type Result, refuse } from '../result.ts';
import table from './check-weights.json' with { type: 'json' };

export const weightClassSchema = z.enum(['E2', 'F1', 'F2', 'M1', 'M2']);
/** Accuracy class of a weight, OIML R 111-1. */
export type WeightClass = z.infer<typeof weightClassSchema>;

/** Where the table of permissible errors comes from. */
export const checkWeightSource = table.source;

/** Nominal masses in grams that the table holds. */
export const checkWeightNominals: readonly number[] = table.rows.map(({ nominalGrams }) => nominalGrams);

/** Maximum permissible error ± of a weight in milligrams (OIML R 111-1 Table 1). Refuses other nominals. */
export function checkWeightErrorMilligrams(nominalGrams: number, weightClass: WeightClass): Result<number> {
  const row = table.rows.find((candidate) => candidate.nominalGrams === nominalGrams);
  const error = row?.errors[table.classes.indexOf(weightClass)];
  if (error === undefined) {
    return refuse(
      'no_such_weight',
      'nominalGrams',
      `${nominalGrams} g ${weightClass} is not in the table; choose one of ${checkWeightNominals.join(', ')} g`,
    );
  }
  return ok(error);
}

/** Largest expanded uncertainty (k = 2) that a weight of the class may have: a third of it (R 111-1 5.2, from memory). */
export function checkWeightUncertaintyMilligrams(errorMilligrams: number): number {
  return errorMilligrams / 3;
}

/**
 * True where a weight is fine enough to test a scale: its error is no more than a third of the scale's
 * permissible error at that load (OIML R 76-1, 3.7.1, from memory).
 */
export function isFineEnough(weightErrorMilligrams: number, scaleErrorGrams: number): boolean {
  return weightErrorMilligrams * 3 <= scaleErrorGrams * 1000;
}
