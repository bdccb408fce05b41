import { z } from 'zod';
import { unitSchema } from './quantity/unit.ts';

/** stable and unstable for mass; peak, track and stored for torque. */
export const indicationStateSchema = z.enum(['stable', 'unstable', 'peak', 'track', 'stored']);
export type IndicationState = z.infer<typeof indicationStateSchema>;

/**
 * A quantity value as an instrument gave it (JCGM 200, 4.1 indication): nothing converted, nothing rounded.
 */
export const indicationSchema = z.strictObject({
  /** Index of the byte at which the line or frame starts, counted from the first byte of the stream. */
  offset: z.int().nonnegative(),
  /** Canonical decimal text which keeps the printed resolution, for example `-0.005` or `80.40`. */
  text: z.string().regex(/^-?\d+(\.\d+)?$/),
  value: z.number(),
  unit: unitSchema,
  state: indicationStateSchema,
  /** Index of the reading where the instrument counts them. */
  seq: z.int().optional(),
  /** The instrument's own time, ISO 8601 without zone. */
  stamp: z.string().optional(),
  /** Other named columns of the line as text: angle, judge, tare, id. */
  columns: z.record(z.string(), z.string()).optional(),
});
export type Indication = z.infer<typeof indicationSchema>;

/** Why bytes were not believed. */
export const rejectionReasons = [
  'first_partial',
  'cut_by_reconnect',
  'unfinished',
  'truncated',
  'outside_frame',
  'too_long',
  'noise',
  'checksum_bad',
  'no_match',
  'not_a_reading',
  'unknown_status',
  'unit_missing',
  'unit_not_allowed',
  'out_of_range',
  'overload',
  'underload',
  'busy',
  'instrument_error',
  'duplicate',
  'stale_replay',
  'ticket_incomplete',
  'ticket_inconsistent',
  'dump_count_mismatch',
  'refused_by_profile',
] as const;
export const rejectionReasonSchema = z.enum(rejectionReasons);
export type RejectionReason = z.infer<typeof rejectionReasonSchema>;

/** Bytes that are no reading, with the reason. */
export const rejectionSchema = z.strictObject({
  /** Index of the byte at which the line, frame or stretch starts. */
  offset: z.int().nonnegative(),
  /** One of `rejectionReasons`, or a word of the profile's own, for example `low_battery`. */
  refused: z.string().regex(/^[a-z][a-z0-9_]{0,39}$/),
});
export type Rejection = z.infer<typeof rejectionSchema>;

const knownReasons: ReadonlySet<string> = new Set(rejectionReasons);

/** The reason by which a rejection is counted and explained; a profile's own word is `refused_by_profile`. */
export function rejectionReasonOf(refused: string): RejectionReason {
  return isRejectionReason(refused) ? refused : 'refused_by_profile';
}

function isRejectionReason(word: string): word is RejectionReason {
  return knownReasons.has(word);
}
