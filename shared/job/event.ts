import { z } from 'zod';
import { daySchema, hashSchema, identifierSchema, instantSchema, spokenTextSchema } from '../identifier.ts';
import { indicationSchema } from '../indication.ts';
import { hazardSchema } from '../sheet/caution.ts';
import { partChoiceSchema } from '../sheet/step.ts';
import { captureSchema, evidenceSchema } from './capture.ts';
import { plannedStepSchema, stepStatusSchema } from './planned-step.ts';

/** Serial number of a tool head, as scanned or typed. */
export const serialSchema = z
  .string()
  .regex(/^[\x21-\x7e](?:[\x20-\x7e]{0,58}[\x21-\x7e])?$/, 'must be 1 to 60 printable characters');

const envelope = { jobId: identifierSchema, at: instantSchema, personId: identifierSchema };
const atStep = { ...envelope, stepId: identifierSchema };

function event<Kind extends string, Shape extends z.core.$ZodLooseShape>(kind: Kind, shape: Shape) {
  return z.strictObject({ kind: z.literal(kind), ...shape });
}

/** Everything that can have happened to a job. Each event is complete in itself; none is ever changed. */
export const jobEventSchema = z.discriminatedUnion('kind', [
  event('jobOpened', {
    ...envelope,
    serial: serialSchema,
    headId: identifierSchema,
    sheetId: identifierSchema,
    sheetRevision: z.int().min(1),
    sheetHash: hashSchema,
    customerReference: z.string().max(200).optional(),
    reportedFault: z.string().max(2000).optional(),
    simulated: z.boolean(),
    workshop: z.string().min(1).max(200),
    /** The skeleton of the pinned sheet, so that the events alone give the state. */
    plan: z.array(plannedStepSchema).min(1),
  }),
  event('cautionAcknowledged', { ...atStep, hazards: z.array(hazardSchema) }),
  event('instructionConfirmed', atStep),
  event('checkAnswered', { ...atStep, answer: z.enum(['yes', 'no']), remark: spokenTextSchema.optional() }),
  event('partDisposed', {
    ...atStep,
    choice: partChoiceSchema,
    reason: spokenTextSchema.optional(),
    /** Number or serial of the new part. */
    replacement: z.string().min(1).max(200).optional(),
  }),
  event('consumableUsed', {
    ...atStep,
    consumableId: identifierSchema,
    lotId: identifierSchema.nullable(),
    lotExpiry: daySchema.nullable(),
    /** Taken from the lot, in the lot's own unit; null where it is weighed later or not counted. */
    quantity: z.number().positive().nullable(),
  }),
  event('tareTaken', { ...atStep, indication: indicationSchema, evidence: evidenceSchema }),
  event('measurementCaptured', { ...atStep, capture: captureSchema }),
  event('numericRecorded', {
    ...atStep,
    /** As typed, canonical decimal. */
    text: z.string().regex(/^-?\d+(\.\d+)?$/),
    value: z.number(),
    unit: z.string().min(1),
    within: z.boolean(),
  }),
  event('noteWritten', { ...envelope, stepId: identifierSchema.nullable(), text: spokenTextSchema }),
  /** The person re-entered the PIN. */
  event('stepSignedOff', atStep),
  event('stepReopened', {
    ...atStep,
    reason: spokenTextSchema,
    /** Finished steps that come after it and must be done again. */
    alsoReopened: z.array(identifierSchema),
    /** True when a lead reopened: attempts count from one again. */
    attemptsRenewed: z.boolean(),
  }),
  event('concessionGranted', { ...atStep, reason: spokenTextSchema, limit: spokenTextSchema }),
  event('jobHeld', { ...envelope, reason: spokenTextSchema.optional() }),
  event('jobResumed', envelope),
  event('jobHandedOver', { ...envelope, toPersonId: identifierSchema, remark: spokenTextSchema.optional() }),
  event('jobAbandoned', { ...envelope, reason: spokenTextSchema }),
  event('jobReleased', {
    ...envelope,
    summary: z.strictObject({
      steps: z.array(z.strictObject({ stepId: identifierSchema, status: stepStatusSchema })),
      captures: z.int().nonnegative(),
      failedAttempts: z.int().nonnegative(),
      concessions: z.array(identifierSchema),
      nextServiceDue: daySchema.nullable(),
    }),
  }),
  event('jobVoided', { ...envelope, reason: spokenTextSchema, secondPersonId: identifierSchema }),
  /** Corrects in words an earlier event, named by its place in the job (0 is jobOpened). */
  event('amendmentMade', {
    ...envelope,
    reason: spokenTextSchema,
    of: z.int().nonnegative(),
    text: spokenTextSchema,
  }),
]);
export type JobEvent = z.infer<typeof jobEventSchema>;

/** Bodies that were read already, as long as they are at hand: a verification asks for each several times. */
const readBodies = new WeakMap<object, JobEvent>();

/**
 * The job event that a stored body is.
 *
 * @throws ZodError for a body that is no job event
 */
export function jobEventOf(body: object): JobEvent {
  const known = readBodies.get(body);
  if (known !== undefined) return known;
  const event = jobEventSchema.parse(body);
  readBodies.set(body, event);
  return event;
}

/** The same of a body that was read already; undefined otherwise. */
export function readJobEvent(body: object): JobEvent | undefined {
  return readBodies.get(body);
}
export type JobEventKind = JobEvent['kind'];
export type JobEventOf<Kind extends JobEventKind> = Extract<JobEvent, { kind: Kind }>;
