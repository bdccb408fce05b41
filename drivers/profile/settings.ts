import { z } from 'zod';
import { hexBytesSchema, patternSchema, someHexBytesSchema } from './words.ts';

/** Port settings; the words are those of `drivers/port/serial-settings.ts`. */
export const serialSettingsSchema = z.object({
  baud: z.int().min(50).max(4_000_000),
  data_bits: z.union([z.literal(5), z.literal(6), z.literal(7), z.literal(8)]).default(8),
  parity: z.enum(['none', 'even', 'odd', 'mark', 'space']).default('none'),
  stop_bits: z.union([z.literal(1), z.literal(1.5), z.literal(2)]).default(1),
  /** Hardware flow control. Software flow control is never used: binary frames hold its bytes. */
  rtscts: z.boolean().optional(),
  hang_up_on_close: z.boolean().optional(),
  /** Sets both lines after opening. Absent: left alone, because some wrenches send an old peak when RTS moves. */
  modem_lines: z.object({ dtr: z.boolean(), rts: z.boolean() }).optional(),
});

const timeOutSchema = z.int().min(10).max(60_000);

/** One exchange of a dialogue: send, then wait for exactly these bytes, or for an answer of this form. */
export const dialogueStepSchema = z.object({
  send_hex: someHexBytesSchema,
  /** Exact answer, for example an acknowledgement byte. It does not reach the decoder. */
  expect_hex: someHexBytesSchema.optional(),
  /** Form of the answer, as a regular expression over its bytes. It does not reach the decoder. */
  expect: patternSchema.optional(),
  timeout_ms: timeOutSchema.optional(),
});

/** What to send. After the last step, and in a request of plain bytes, what comes is for the decoder. */
export const requestSchema = z
  .object({
    hex: hexBytesSchema.optional(),
    steps: z.array(dialogueStepSchema).min(1).max(8).optional(),
    reply_timeout_ms: timeOutSchema.default(1000),
    /** Period of asking; 0 means only when a person asks. */
    poll_ms: z.int().min(0).max(3_600_000).default(0),
    /** Least pause between an answer and the next bytes to the instrument. */
    gap_ms: z.int().min(0).max(60_000).default(0),
  })
  .superRefine((request, context) => {
    if ((request.hex ?? '').trim() !== '' || request.steps !== undefined) return;
    context.addIssue({ code: 'custom', path: ['hex'], message: 'is missing; give the bytes, or steps' });
  });
export type InstrumentRequest = z.output<typeof requestSchema>;

/** Our own rule of steadiness for scales that do not say whether they are stable; see `drivers/steadiness.ts`. */
export const steadinessRuleSchema = z.object({
  /** At least this many readings in the window. */
  readings: z.int().min(2).max(200),
  window_ms: z.int().min(100).max(10_000),
  /** Greatest difference of two readings in the window, in divisions. */
  spread_divisions: z.int().min(0).max(100),
  /** The division d per unit as decimal text; without it one step of the last printed digit. */
  division: z
    .record(z.string(), z.string().regex(/^\d+(\.\d+)?$/, 'must be decimal text such as 0.002'))
    .optional(),
});
export type SteadinessRule = z.output<typeof steadinessRuleSchema>;

/** Which of several pulls counts; see `drivers/pull.ts`. */
export const finalPullRuleSchema = z.enum(['last_complete', 'first_complete', 'greatest_complete']);
export type FinalPullRule = z.output<typeof finalPullRuleSchema>;

/** How a pull is found in a stream of track readings; see `drivers/pull.ts`. */
export const pullRuleSchema = z.object({
  /** Torque at which a pull begins, per unit, as the range is. */
  start: z.record(z.string(), z.number().positive()),
  /** Released: below this share of the peak ... */
  release_share: z.number().min(0.05).max(0.95).default(0.5),
  /** ... for this long without a break. */
  release_ms: z.int().min(20).max(5000).default(200),
  /** A second pull that begins this soon after the end of the first is a double hit. */
  double_hit_ms: z.int().min(0).max(5000).default(500),
  double_hit: z.enum(['keep', 'merge']).default('keep'),
  /** Readings in the running median; 1 switches it off. */
  median_of: z.union([z.literal(1), z.literal(3), z.literal(5), z.literal(7)]).default(1),
  /** A longer silence inside a pull leaves its peak unknown (streams without a final line only). */
  longest_gap_ms: z.int().min(20).max(60_000).default(500),
  /** How long the final line may come after the release (profiles with tags only). */
  final_line_ms: z.int().min(0).max(60_000).default(3000),
  final: finalPullRuleSchema.default('last_complete'),
});
export type PullRule = z.output<typeof pullRuleSchema>;
