import { z } from 'zod';
import { massUnitSchema } from '../../shared/quantity/unit.ts';

const grams = z.number().positive().max(100_000);

/** What a hand can do to a simulated scale. Masses are random and plausible where they are left out. */
export const scaleActionSchema = z.discriminatedUnion('kind', [
  /** A clean dish on the pan. */
  z.strictObject({ kind: z.literal('dish on'), massGrams: grams.optional() }),
  /** The dish with what is in it leaves the pan. */
  z.strictObject({ kind: z.literal('dish off') }),
  /** One squeeze of the grease tube into the dish. */
  z.strictObject({ kind: z.literal('squeeze'), massGrams: grams.optional() }),
  /** Squeezes until the dish holds this mass, and a little more with `overshootGrams`. */
  z.strictObject({
    kind: z.literal('dispense to'),
    massGrams: grams,
    overshootGrams: z.number().nonnegative().max(1000).optional(),
  }),
  /** Takes some grease out of the dish again. */
  z.strictObject({ kind: z.literal('remove some'), massGrams: grams.optional() }),
  /** Something else on the pan, for example a check weight or far too much. */
  z.strictObject({ kind: z.literal('put on'), massGrams: grams }),
  z.strictObject({ kind: z.literal('take off') }),
  /** The keys of the scale. */
  z.strictObject({ kind: z.literal('tare') }),
  z.strictObject({ kind: z.literal('zero') }),
]);
export type ScaleAction = z.infer<typeof scaleActionSchema>;

/** Units that a simulated scale can show. */
export const scaleUnitSchema = massUnitSchema.extract(['g', 'kg', 'oz', 'lb']);
export type ScaleUnit = z.infer<typeof scaleUnitSchema>;
