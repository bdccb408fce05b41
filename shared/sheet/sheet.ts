import { z } from 'zod';
import { daySchema, identifierSchema } from '../identifier.ts';
import { localizedTextSchema } from './localized-text.ts';
import { type Step, stepSchema } from './step.ts';

export const sheetFormat = 'bandwright-sheet-1';

/** The shape of a service sheet; `readSheet` checks what the shape alone cannot say. */
export const serviceSheetSchema = z.strictObject({
  format: z.literal(sheetFormat),
  sheetId: identifierSchema,
  revision: z.int().min(1),
  title: localizedTextSchema,
  head: z.strictObject({
    headId: identifierSchema,
    name: localizedTextSchema,
    description: localizedTextSchema.optional(),
  }),
  /** True for the demo workshop: nothing of it describes a real tool. */
  invented: z.boolean(),
  /** Jobs may use this revision from this day on. */
  effectiveFrom: daySchema,
  /** Where this sheet gives way: the tool maker's instructions, local codes, licensed practice. */
  deferral: localizedTextSchema,
  nextServiceMonths: z.int().min(1).max(240).optional(),
  steps: z.array(stepSchema).min(1).max(200),
});
/** The procedure for one head, as a lead wrote and another person approved it. */
export type ServiceSheet = z.infer<typeof serviceSheetSchema>;

/** A sheet with the hash that a job pins (SHA-256 over its RFC 8785 form, made by the station). */
export interface PinnedSheet {
  readonly sheet: ServiceSheet;
  readonly hash: string;
}

/** The step of that name, if the sheet has it. */
export function findStep(sheet: ServiceSheet, stepId: string): Step | undefined {
  return sheet.steps.find((step) => step.stepId === stepId);
}

/** The steps that must be finished before the one at this place in the list. */
export function predecessorsOf(steps: readonly Step[], index: number): readonly string[] {
  const before = steps[index - 1];
  return steps[index]?.after ?? (before === undefined ? [] : [before.stepId]);
}
