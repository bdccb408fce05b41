import { z } from 'zod';
import { indicationStateSchema } from '../../shared/indication.ts';
import { quantitySchema, unitSchema } from '../../shared/quantity/unit.ts';
import { localizedTextSchema } from '../../shared/sheet/localized-text.ts';
import { checksumKinds } from '../decode/checksum.ts';
import { exampleSchema } from './example.ts';
import { pullRuleSchema, requestSchema, serialSettingsSchema, steadinessRuleSchema } from './settings.ts';
import {
  bitMeaningSchema,
  cellTextSchema,
  groupSchema,
  groupValuesSchema,
  hexByteSchema,
  hexBytesSchema,
  patternSchema,
  reasonSchema,
  someHexBytesSchema,
  unitMapSchema,
} from './words.ts';

const frameSchema = z.object({
  /** Bytes that begin a frame; without them the stream is cut at its line ends alone. */
  start: hexBytesSchema.optional(),
  /** Bytes that end a line or frame; the first of them that is complete counts. */
  ends: z.array(someHexBytesSchema).min(1).max(8),
  /** Bytes after the end that belong to the frame. */
  tail: z.int().min(0).max(16).default(0),
  max_bytes: z.int().min(1).max(65_536),
  /** Skipped before the first byte of a line, never inside. */
  pad_bytes: z.array(hexByteSchema).max(32).default([]),
  /** Allowed between frames. */
  ignore_between: z.array(hexByteSchema).max(256).default([]),
  first_line: z.enum(['drop', 'accept only if it matches', 'as any other']).default('drop'),
});

const stabilitySchema = z.union([
  z.object({ always: indicationStateSchema, blank_unit: z.string().optional() }),
  z.object({
    group: groupSchema,
    stable: groupValuesSchema.default([]),
    unstable: groupValuesSchema.default([]),
  }),
]);

const ticketSchema = z.object({
  begin: patternSchema,
  /** Name of the line that the begin line is at the same time. */
  begin_is: z.string().max(40).optional(),
  lines: z.record(z.string().regex(/^[A-Za-z]\w{0,39}$/), patternSchema),
  /** Names of the lines in their order, for tickets without labels. */
  order: z.array(z.string()).max(64).optional(),
  /** Without it the ticket ends with the line that completes it. */
  end: patternSchema.optional(),
  /** Name of the line whose value is the reading. */
  report: z.string(),
  must_hold: z.string().optional(),
  /** How date and time of the ticket are written, as `stamp.format`; without it they are passed on as they are. */
  stamp_format: z.string().max(40).optional(),
});

/** Every word of a profile by itself; what they must hold among themselves is checked in `consistency.ts`. */
export const profileWordsSchema = z.object({
  name: z
    .string()
    .regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'must be words in small letters joined by hyphens')
    .max(80)
    .optional(),
  revision: z.int().min(1).optional(),
  title: localizedTextSchema.optional(),
  /** What its writer chose, guessed or could not know. */
  note: z.string().max(4000).optional(),
  source: z.string().max(400).optional(),
  kind: quantitySchema.optional(),
  mode: z.string().max(200).optional(),
  serial: serialSettingsSchema.optional(),
  /** No accepted line for this long on a source that should talk means "no data". */
  silence_ms: z.int().min(100).max(3_600_000).optional(),
  request: requestSchema.optional(),
  /** Sent once after each opening, for example to switch continuous sending on. */
  start_request: requestSchema.optional(),
  tare_request: requestSchema.optional(),
  zero_request: requestSchema.optional(),

  /** Reports of a HID scale instead of lines; of the words below only `units` (by index) and `range` matter. */
  hid: z.literal('scale').optional(),
  frame: frameSchema,
  clear_high_bit: z.boolean().default(false),
  /** The line may hold any byte. */
  binary_status: z.boolean().default(false),
  checksum: z.object({ kind: z.enum(checksumKinds) }).optional(),
  decimal: z.enum([',', '.']).optional(),
  pattern: patternSchema.optional(),
  refuse_lines: z
    .array(z.object({ pattern: patternSchema, reason: reasonSchema }))
    .max(64)
    .default([]),
  refuse_when: z
    .array(z.object({ group: groupSchema, values: groupValuesSchema, reason: reasonSchema }))
    .max(64)
    .default([]),
  ignore_lines: z.array(patternSchema).max(64).default([]),
  stability: stabilitySchema.optional(),
  bits: z
    .array(
      z.object({
        group: groupSchema,
        radix: z.literal('hex').optional(),
        bit: z.int().min(0).max(47),
        one: bitMeaningSchema.optional(),
        zero: bitMeaningSchema.optional(),
      }),
    )
    .max(64)
    .default([]),
  decimals: z
    .object({ group: groupSchema, mask: z.int().min(0).max(255), subtract: z.int().min(-255).max(255) })
    .optional(),
  units: unitMapSchema.default({}),
  unit_group: groupSchema.optional(),
  unit_fixed: unitSchema.optional(),
  /** A line that tells the unit of the lines after it, in a group named unit. Forgotten at a reconnect. */
  unit_line: z.object({ pattern: patternSchema }).optional(),
  range: z.record(z.string(), z.tuple([z.number(), z.number()])).default({}),
  state: indicationStateSchema.optional(),
  sequence: z.object({ group: groupSchema, wraps_after: z.int().min(1).max(1e9) }).optional(),
  stamp: z.object({ group: groupSchema, format: z.string().max(40) }).optional(),
  tags: z.object({ group: groupSchema, map: z.record(cellTextSchema, indicationStateSchema) }).optional(),
  direction: z.object({ group: groupSchema, negative: groupValuesSchema }).optional(),
  ticket: ticketSchema.optional(),
  dump: z.object({ begin: patternSchema, count: patternSchema, end: patternSchema }).optional(),

  steadiness: steadinessRuleSchema.optional(),
  pull: pullRuleSchema.optional(),
  /** Recorded bytes and what they mean: the profile's own test. */
  examples: z.array(exampleSchema).max(500).default([]),
});
export type ProfileWords = z.output<typeof profileWordsSchema>;
