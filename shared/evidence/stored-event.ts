import { z } from 'zod';
import { hashSchema, instantSchema } from '../identifier.ts';
import type { JsonObject } from './canonical-json.ts';

/** Families of streams; a stream is one of these and an id, or a bare word for what exists once. */
export const streamSchema = z
  .string()
  .max(200)
  .regex(
    /^((job|record|document|sheet|person|instrument|lot|profile|certificate)\/[^/\s]+|workshop|station|clock)$/,
  );

/** One link of a station's chain: something that happened, when, by whom. Never changed, never removed. */
export const storedEventSchema = z.strictObject({
  /** Place in the station's chain, 1, 2, 3 … without gaps. */
  sequence: z.int().positive(),
  /** What it happened to: `job/<id>`, `sheet/<id>`, `person/<id>`, `instrument/<id>`, `lot/<id>`, `workshop` … */
  stream: streamSchema,
  /** Place in its stream, 1, 2, 3 … without gaps. */
  version: z.int().positive(),
  kind: z.string().min(1).max(100),
  /** Wall time of the commit, ISO 8601 with offset. Order is by sequence, never by this. */
  at: instantSchema,
  /** Who was signed in; null for what the station does by itself. */
  personId: z.string().min(1).nullable(),
  body: z.custom<JsonObject>((value) => typeof value === 'object' && value !== null && !Array.isArray(value)),
  previousHash: hashSchema,
  hash: hashSchema,
});
export type StoredEvent = z.infer<typeof storedEventSchema>;
