import { z } from 'zod';
import type { Result } from '../../shared/result.ts';
import { parseWith } from '../../shared/schema-refusal.ts';

const atMilliseconds = z.number().nonnegative().max(86_400_000);
const forMilliseconds = z.number().positive().max(3_600_000);

/** What can go wrong with an instrument or its cable, and when (milliseconds after the start of the simulation). */
export const faultSchema = z.discriminatedUnion('kind', [
  /** Random bytes between two lines. */
  z.strictObject({ kind: z.literal('noise'), atMilliseconds, bytes: z.int().positive().max(100_000) }),
  /** The next bytes do not arrive. */
  z.strictObject({ kind: z.literal('lost bytes'), atMilliseconds, bytes: z.int().positive().max(100_000) }),
  /** The instrument writes another unit for a while. */
  z.strictObject({
    kind: z.literal('wrong unit'),
    atMilliseconds,
    forMilliseconds,
    unitText: z
      .string()
      .regex(/^[\x20-\x7e]{1,6}$/)
      .default('pcs'),
  }),
  /** The cable is pulled for a while. */
  z.strictObject({ kind: z.literal('unplug'), atMilliseconds, forMilliseconds }),
  /** The instrument sends its last lines (peaks of a wrench) again. */
  z.strictObject({ kind: z.literal('stale peaks'), atMilliseconds, count: z.int().positive().max(100) }),
  /** After the next reconnection the last peak comes again. */
  z.strictObject({ kind: z.literal('repeated peak'), atMilliseconds }),
  /** Lines without meaning as fast as asked for. */
  z.strictObject({
    kind: z.literal('flood'),
    atMilliseconds,
    forMilliseconds,
    bytesPerSecond: z.number().positive().max(20_000_000).default(1_000_000),
  }),
  /** A line that does not end. */
  z.strictObject({
    kind: z.literal('endless line'),
    atMilliseconds,
    bytes: z.int().positive().max(100_000_000),
    bytesPerSecond: z.number().positive().max(20_000_000).default(1_000_000),
  }),
  /** The instrument says nothing although the cable is in. */
  z.strictObject({ kind: z.literal('silence'), atMilliseconds, forMilliseconds }),
]);
export type Fault = z.infer<typeof faultSchema>;

export const faultScriptSchema = z.array(faultSchema).max(1000);

/** Checks a fault script as it comes from a file. */
export function parseFaultScript(input: unknown): Result<readonly Fault[]> {
  return parseWith(faultScriptSchema, input);
}
