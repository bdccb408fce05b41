import { z } from 'zod';
import { indicationSchema } from '../../shared/indication.ts';
import { reasonSchema, recordedHexSchema, someHexBytesSchema } from './words.ts';

/** What one line should decode to: fields of the indication that are named must agree, columns one by one. */
export const expectedOutcomeSchema = z.union([
  z.strictObject({ refused: reasonSchema }),
  indicationSchema.omit({ offset: true, value: true }).partial({ unit: true, state: true }),
]);
export type ExpectedOutcome = z.output<typeof expectedOutcomeSchema>;

/**
 * Bytes as they come from the instrument, beginning at a line, and what they mean. `bytes` is text with JSON
 * escapes, one character a byte; `hex` the same in hexadecimal digits.
 */
export const exampleSchema = z
  .object({
    bytes: z
      .string()
      // biome-ignore lint/suspicious/noControlCharactersInRegex: every byte may come from an instrument.
      .regex(/^[\u0000-\u00ff]+$/, 'must be characters from U+0000 to U+00FF, one a byte')
      .optional(),
    hex: recordedHexSchema.optional(),
    /** What the station has to send before these bytes come, step by step. */
    exchange: z
      .array(z.object({ sent_hex: someHexBytesSchema, reply_hex: someHexBytesSchema.optional() }))
      .optional(),
    expected: z.array(expectedOutcomeSchema),
    note: z.string().optional(),
  })
  .superRefine((example, context) => {
    if ((example.bytes === undefined) === (example.hex === undefined)) {
      context.addIssue({ code: 'custom', path: ['bytes'], message: 'give either bytes or hex' });
    }
  });
export type ProfileExample = z.output<typeof exampleSchema>;

/** The bytes of an example. */
export function bytesOfExample(example: ProfileExample): Buffer {
  if (example.hex !== undefined) return Buffer.from(example.hex.replace(/\s+/g, ''), 'hex');
  return Buffer.from(example.bytes ?? '', 'latin1');
}
