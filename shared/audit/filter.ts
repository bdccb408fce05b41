import { z } from 'zod';
import { decisionSchema } from '../acceptance/judgement.ts';
import { daySchema, instantSchema } from '../identifier.ts';
import { quantitySchema } from '../quantity/unit.ts';

const word = z.string().trim().min(1).max(120);
/** A whole day at the workshop, or an instant. */
const time = z
  .string()
  .refine(
    (text) => daySchema.safeParse(text).success || instantSchema.safeParse(text).success,
    'must be a day like 2026-03-02, or an instant with offset like 2026-03-02T08:00:00+01:00',
  );

/**
 * Which readings or jobs an auditor asks for; everything that is given must hold. For a job: one of its readings
 * meets all of what is asked of readings, and the person opened it or took a reading.
 */
export const auditFilterSchema = z.strictObject({
  serial: word.optional(),
  headId: word.optional(),
  personId: word.optional(),
  instrumentId: word.optional(),
  /** Number of a certificate, or its hash. */
  certificate: word.optional(),
  lotId: word.optional(),
  decision: decisionSchema.optional(),
  quantity: quantitySchema.optional(),
  /** From this day or instant on. */
  from: time.optional(),
  /** Up to the end of this day, or before this instant. */
  until: time.optional(),
});
export type AuditFilter = z.infer<typeof auditFilterSchema>;

/** A filter that a person keeps under a name. */
export const savedViewSchema = z.strictObject({
  name: z.string().trim().min(1).max(60),
  filter: auditFilterSchema,
});
export type SavedView = z.infer<typeof savedViewSchema>;
/** Views that one person may keep. */
export const mostSavedViews = 50;

export const ruleSets = ['Western Electric', 'Nelson'] as const;
export const chartedAtMost = 500;

/** Which readings make a control chart. */
export const chartWishSchema = z.strictObject({
  filter: auditFilterSchema.extend({ quantity: quantitySchema }),
  /** The newest so many. */
  last: z.int().min(2).max(chartedAtMost).default(100),
  rules: z.enum(ruleSets).default('Western Electric'),
  /** At the desk of a site: whose. */
  stationId: word.optional(),
});
export type ChartWish = z.infer<typeof chartWishSchema>;

export const exportFormats = ['csv', 'jsonl', 'bundle'] as const;

/** What to export from a screen. */
export const exportWishSchema = z.strictObject({
  format: z.enum(exportFormats),
  filter: auditFilterSchema,
  /** For CSV: decimal sign and separator as spreadsheets of that language expect. */
  language: z.enum(['en', 'de']),
  /** At the desk of a site: the bundle of this whole chain. */
  chainId: z.int().positive().optional(),
});
export type ExportWish = z.infer<typeof exportWishSchema>;
