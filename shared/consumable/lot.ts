import { z } from 'zod';
import { daySchema, identifierSchema, instantSchema, spokenTextSchema } from '../identifier.ts';
import { localizedTextSchema } from '../sheet/localized-text.ts';

const envelope = { lotId: identifierSchema, at: instantSchema, personId: identifierSchema };

function event<Kind extends string, Shape extends z.core.$ZodLooseShape>(kind: Kind, shape: Shape) {
  return z.strictObject({ kind: z.literal(kind), ...envelope, ...shape });
}

/** `g`: quantities are masses in grams; `count`: pieces. */
export const lotUnitSchema = z.enum(['g', 'count']);
export type LotUnit = z.infer<typeof lotUnitSchema>;

/** Everything that can have happened to a lot of a consumable. */
export const lotEventSchema = z.discriminatedUnion('kind', [
  event('lotReceived', {
    consumableId: identifierSchema,
    name: localizedTextSchema,
    /** Usable to the end of this day; null where the maker states none. */
    expiry: daySchema.nullable(),
    quantity: z.number().positive(),
    unit: lotUnitSchema,
    /** Days after opening that the lot stays usable; null where the maker states none. */
    usableDaysAfterOpening: z.int().min(1).nullable(),
    invented: z.boolean(),
  }),
  event('lotOpened', {}),
  event('lotUsed', {
    jobId: identifierSchema,
    stepId: identifierSchema,
    quantity: z.number().positive().nullable(),
  }),
  event('lotBlocked', { reason: spokenTextSchema }),
]);
export type LotEvent = z.infer<typeof lotEventSchema>;

/** One use of a lot: the trace from a lot to its jobs. */
export interface LotUse {
  readonly jobId: string;
  readonly stepId: string;
  readonly at: string;
  readonly personId: string;
  readonly quantity: number | null;
}

/** A lot as its events make it. */
export interface Lot {
  readonly lotId: string;
  readonly consumableId: string;
  readonly name: { readonly en: string; readonly de: string };
  readonly expiry: string | null;
  readonly received: number;
  readonly unit: LotUnit;
  readonly usableDaysAfterOpening: number | null;
  readonly openedAt: string | null;
  readonly blocked: string | null;
  readonly uses: readonly LotUse[];
  /** Received less used; uses without a quantity are not counted. */
  readonly remaining: number;
  readonly invented: boolean;
  readonly version: number;
}
