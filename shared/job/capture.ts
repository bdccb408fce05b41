import { z } from 'zod';
import { bandSchema } from '../acceptance/band.ts';
import { decisionRuleSchema } from '../acceptance/rule.ts';
import { daySchema, hashSchema, identifierSchema, instantSchema } from '../identifier.ts';
import { indicationSchema } from '../indication.ts';
import { quantitySchema, torqueUnitSchema, unitSchema } from '../quantity/unit.ts';
import { budgetSchema, judgementSchema } from './judgement-record.ts';

/** One line as it came, with its arrival in milliseconds since the first line kept. */
export const rawLineSchema = z.strictObject({
  atMilliseconds: z.number().nonnegative(),
  base64: z.base64(),
});
export type RawLine = z.infer<typeof rawLineSchema>;

/** The bytes behind an indication and the profile that read them: enough for replay. */
export const evidenceSchema = z.strictObject({
  profileHash: hashSchema,
  lines: z.array(rawLineSchema),
});
export type Evidence = z.infer<typeof evidenceSchema>;

/** The weighing before the fill: the empty dish, or the full tube when weighed by difference. */
export const tareSchema = z.strictObject({ indication: indicationSchema, evidence: evidenceSchema });
export type Tare = z.infer<typeof tareSchema>;

/** One pull of the wrench; every pull is kept, one is final. */
export const pullSchema = z.strictObject({
  peak: z.number(),
  unit: torqueUnitSchema,
  angle: z.number().optional(),
  final: z.boolean(),
});
export type Pull = z.infer<typeof pullSchema>;

/** A judged measurement with all that is needed to judge it again. */
export const captureSchema = z.strictObject({
  captureId: identifierSchema,
  quantity: quantitySchema,
  /** 1 for the first attempt at this step. */
  attempt: z.int().min(1),
  indication: indicationSchema,
  tare: tareSchema.optional(),
  /** The measured quantity value after tare and corrections, in the band's unit. */
  measured: z.strictObject({ text: z.string().optional(), value: z.number(), unit: unitSchema }),
  /** What was added to the indication, each in its unit, and where it comes from. */
  corrections: z.array(
    z.strictObject({ name: z.string(), value: z.number(), unit: unitSchema, source: z.string() }),
  ),
  evidence: evidenceSchema,
  instrument: z.strictObject({
    instrumentId: identifierSchema,
    name: z.string().min(1),
    profileName: z.string().min(1),
    profileHash: hashSchema,
    simulated: z.boolean(),
    certificateHash: hashSchema.nullable(),
    certificateNumber: z.string().nullable(),
    calibrationDue: daySchema.nullable(),
    /** Reason of the lead who let an unfit instrument be used; null for a fit one. */
    concession: z.string().nullable(),
  }),
  budget: budgetSchema,
  band: bandSchema,
  rule: decisionRuleSchema,
  judgement: judgementSchema,
  /** The course of the indication before the capture: milliseconds since startedAt, value in its unit. */
  trace: z.strictObject({
    startedAt: instantSchema,
    points: z.array(z.tuple([z.number(), z.number()])),
  }),
  pulls: z.array(pullSchema).optional(),
});
export type Capture = z.infer<typeof captureSchema>;
