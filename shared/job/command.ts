import { z } from 'zod';
import { identifierSchema, spokenTextSchema } from '../identifier.ts';
import { partChoiceSchema } from '../sheet/step.ts';
import { serialSchema } from './event.ts';

const toJob = {
  jobId: identifierSchema,
  /** The version of the state on the screen; a job that has moved on refuses, so nothing is done twice. */
  expectedVersion: z.int().min(1).optional(),
};
const toStep = { ...toJob, stepId: identifierSchema };

function command<Kind extends string, Shape extends z.core.$ZodLooseShape>(kind: Kind, shape: Shape) {
  return z.strictObject({ kind: z.literal(kind), ...shape });
}

/** What a person may ask of a job, from the screen or the command line. */
export const jobCommandSchema = z.discriminatedUnion('kind', [
  command('openJob', {
    serial: serialSchema,
    headId: identifierSchema,
    /** Which sheet, where several fit the head. */
    sheetId: identifierSchema.optional(),
    customerReference: z.string().trim().min(1).max(200).optional(),
    reportedFault: z.string().trim().min(1).max(2000).optional(),
  }),
  command('acknowledgeCaution', toStep),
  command('confirmInstruction', toStep),
  command('answerCheck', { ...toStep, answer: z.enum(['yes', 'no']), remark: spokenTextSchema.optional() }),
  command('disposePart', {
    ...toStep,
    choice: partChoiceSchema,
    reason: spokenTextSchema.optional(),
    replacement: z.string().trim().min(1).max(200).optional(),
  }),
  command('useConsumable', {
    ...toStep,
    lotId: identifierSchema.optional(),
    quantity: z.number().positive().optional(),
  }),
  command('takeTare', toStep),
  command('captureMass', toStep),
  command('captureTorque', toStep),
  /** `text` is a canonical decimal: `41.5`, never `41,5`. */
  command('recordNumeric', {
    ...toStep,
    text: z.string().regex(/^-?\d{1,12}(\.\d{1,9})?$/, 'must be a decimal number'),
  }),
  /** Without stepId: a free note at any time. */
  command('writeNote', { ...toJob, stepId: identifierSchema.optional(), text: spokenTextSchema }),
  command('signOffStep', toStep),
  command('reopenStep', { ...toStep, reason: spokenTextSchema }),
  command('grantConcession', { ...toStep, reason: spokenTextSchema, limit: spokenTextSchema }),
  command('holdJob', { ...toJob, reason: spokenTextSchema.optional() }),
  command('resumeJob', toJob),
  command('handOverJob', { ...toJob, toPersonId: identifierSchema, remark: spokenTextSchema.optional() }),
  command('abandonJob', { ...toJob, reason: spokenTextSchema }),
  command('releaseJob', toJob),
  command('voidJob', { ...toJob, reason: spokenTextSchema }),
  command('amend', { ...toJob, of: z.int().nonnegative(), reason: spokenTextSchema, text: spokenTextSchema }),
]);
export type JobCommand = z.infer<typeof jobCommandSchema>;
export type JobCommandKind = JobCommand['kind'];
export type JobCommandOf<Kind extends JobCommandKind> = Extract<JobCommand, { kind: Kind }>;
/** Commands to a job that exists already. */
export type StandingJobCommand = Exclude<JobCommand, { kind: 'openJob' }>;
