import { z } from 'zod';
import { rationalOfNumber } from '../quantity/decimal-text.ts';
import { divide, multiply, rational, subtract, toNumber } from '../quantity/rational.ts';
import table from './wrench-classes.json' with { type: 'json' };

/** Largest deviation of a torque tool in percent of the reference, with where the figure comes from. */
export interface WrenchLimit {
  readonly percent: number;
  readonly source: string;
}

/** What a person enters for a wrench: the figure of its certificate, and its source. */
export const wrenchLimitSchema = z.strictObject({
  percent: z.number().refine((percent) => percent > 0, { message: 'must be above zero' }),
  source: z.string().min(1).max(300),
});

/**
 * Deviation of a torque tool in percent: (indicated − reference)/reference · 100, relative to the reference
 * (ISO 6789-1, 7). Both in one unit, reference not zero.
 */
export function wrenchDeviationPercent(indicated: number, reference: number): number {
  const exactReference = rationalOfNumber(reference);
  const difference = subtract(rationalOfNumber(indicated), exactReference);
  return toNumber(multiply(divide(difference, exactReference), rational(100n)));
}

/**
 * A proposal for the limit of a class of ISO 6789-1 from the data file; `null` for an unknown class. Texts
 * disagree on this table: the person confirms or replaces it.
 */
export function proposedWrenchLimit(
  type: 'I' | 'II',
  wrenchClass: string,
  maximumNewtonMetres: number,
): WrenchLimit | null {
  const row = table.classes.find((candidate) => candidate.type === type && candidate.class === wrenchClass);
  if (row === undefined) return null;
  const percent = maximumNewtonMetres > table.boundaryNewtonMetres ? row.above : row.upTo;
  return { percent, source: row.source };
}

/** Torques at which a wrench is calibrated: 20, 60 and 100 % of its maximum (ISO 6789:2003 as a tool manual cites it). */
export function wrenchTestPoints(maximum: number): readonly [number, number, number] {
  const at = (percent: bigint) => toNumber(multiply(rationalOfNumber(maximum), rational(percent, 100n)));
  return [at(20n), at(60n), at(100n)];
}

/** True where an electronic tool's step is at most a quarter of the permitted deviation at that torque. */
export function isStepFineEnough(step: number, torque: number, limitPercent: number): boolean {
  // Trade article on ISO 6789-1:2017: 4 % at 10 N.m asks for 0.1 N.m.
  const allowed = divide(multiply(rationalOfNumber(torque), rationalOfNumber(limitPercent)), rational(400n));
  return subtract(rationalOfNumber(step), allowed).numerator <= 0n;
}
