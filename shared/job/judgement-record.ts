import { z } from 'zod';
import type { Budget } from '../acceptance/budget.ts';
import { causes } from '../acceptance/contribution.ts';
import { decisionSchema, type Judgement } from '../acceptance/judgement.ts';
import { decisionRuleSchema } from '../acceptance/rule.ts';
import { quantitySchema, unitSchema } from '../quantity/unit.ts';

const limitsSchema = z.strictObject({ lower: z.number().nullable(), upper: z.number().nullable() });

/** A judgement as it is stored with its capture. */
export const judgementSchema = z.strictObject({
  quantity: quantitySchema,
  value: z.number(),
  unit: unitSchema,
  tolerance: limitsSchema,
  acceptance: limitsSchema.nullable(),
  conformance: z.number().min(0).max(1),
  decision: decisionSchema,
  margin: z.number().nullable(),
  rule: decisionRuleSchema,
  uncertainty: z.strictObject({
    expanded: z.number().positive(),
    k: z.number().positive(),
    unit: unitSchema,
  }),
  sentence: z.string().exactOptional(),
}) satisfies z.ZodType<Judgement>;

/** An uncertainty budget as it is stored with its capture. */
export const budgetSchema = z.strictObject({
  unit: unitSchema,
  contributions: z.array(
    z.strictObject({
      name: z.string(),
      cause: z.enum(causes),
      kind: z.enum(['normal', 'rectangular', 'triangular', 'arcsine', 'typeA', 'resolution', 'standard']),
      unit: z.string(),
      u: z.number(),
      sensitivity: z.number(),
      contribution: z.number(),
      share: z.number(),
      degreesOfFreedom: z.number().nullable(),
      source: z.string().exactOptional(),
    }),
  ),
  combined: z.number().positive(),
  degreesOfFreedom: z.number().nullable(),
  coverageProbability: z.number().nullable(),
  k: z.number().positive(),
  expanded: z.number().positive(),
  value: z.number().exactOptional(),
}) satisfies z.ZodType<Budget>;
