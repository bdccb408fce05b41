import { z } from 'zod';
import { bandSchema } from '../acceptance/band.ts';
import { hashSchema, identifierSchema, instantSchema } from '../identifier.ts';
import { indicationSchema } from '../indication.ts';
import { captureSchema } from '../job/capture.ts';
import { serialSchema } from '../job/event.ts';
import { judgementSchema } from '../job/judgement-record.ts';
import { quantitySchema, unitSchema } from '../quantity/unit.ts';

const namedDocumentSchema = z.looseObject({ hash: hashSchema }).nullable();
const rawShape = {
  profileHash: hashSchema,
  /** All bytes behind the indication, in the order in which they came. */
  rawBytes: z.base64(),
  /** Where each line ends and when it came, in milliseconds since the first one. */
  lines: z.array(z.object({ atMilliseconds: z.number(), bytes: z.int().nonnegative() })),
};

/** One line of a JSON lines export: a captured reading with everything that it stands on. */
export const readingLineSchema = z.object({
  /** From the site store alone: the bench, the station and its branch, and whether the station went on without it. */
  benchId: z.string().optional(),
  stationId: z.string().optional(),
  branch: z.int().positive().optional(),
  leftBehind: z.boolean().optional(),
  serial: serialSchema,
  jobId: identifierSchema,
  headId: identifierSchema,
  openedAt: instantSchema,
  /** `open`, `released`, `abandoned` or `voided`. */
  phase: z.string(),
  simulated: z.boolean(),
  /** Null where the first event of the job was altered or removed. */
  sheet: z.object({ sheetId: identifierSchema, revision: z.int(), hash: hashSchema }).nullable(),
  /** Place in the station's chain. */
  sequence: z.int().positive(),
  /** Hash of the event in the chain. */
  hash: hashSchema,
  eventHash: hashSchema,
  /** Of the signed record; null while the job is at the bench. */
  recordHash: hashSchema.nullable(),
  captureId: identifierSchema,
  at: instantSchema,
  personId: identifierSchema,
  stepId: identifierSchema,
  quantity: quantitySchema,
  attempt: z.int().positive(),
  /** What was judged, in `unit`. */
  value: z.number(),
  unit: unitSchema,
  decision: judgementSchema.shape.decision,
  conformance: judgementSchema.shape.conformance,
  margin: judgementSchema.shape.margin,
  acceptance: judgementSchema.shape.acceptance,
  uncertainty: judgementSchema.shape.uncertainty,
  band: bandSchema,
  rule: captureSchema.shape.rule,
  budget: captureSchema.shape.budget,
  indication: indicationSchema,
  measured: captureSchema.shape.measured,
  corrections: captureSchema.shape.corrections,
  instrument: captureSchema.shape.instrument,
  ...rawShape,
  tare: z.object({ indication: indicationSchema, ...rawShape }).nullable(),
  pulls: captureSchema.shape.pulls.unwrap().nullable(),
  trace: captureSchema.shape.trace,
  profile: namedDocumentSchema,
  certificate: namedDocumentSchema,
});

/** The published JSON Schema (2020-12) of one line. */
export function readingLineJsonSchema(): object {
  return z.toJSONSchema(readingLineSchema, { io: 'input', unrepresentable: 'any' });
}
