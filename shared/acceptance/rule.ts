import { z } from 'zod';

/**
 * How the measurement uncertainty is taken into account when conformity is decided (JCGM 106:2012, 3.3.12).
 * - `simple`: inside the tolerance is a pass (guard band w = 0).
 * - `guarded`: tolerance limits drawn in by w = factor · U. The factor is zero or more; a negative one (the
 *   "uncritical" row of ILAC-G8) would pass values outside the tolerance and is refused.
 * - `conformance`: pass where the conformance probability is at least `probability`, both tails counted.
 */
export type DecisionRule =
  | { readonly kind: 'simple'; readonly source: string }
  | { readonly kind: 'guarded'; readonly factor: number; readonly source: string }
  | { readonly kind: 'conformance'; readonly probability: number; readonly source: string };

/** Where each kind comes from when the sheet says nothing else. Clause numbers from memory. */
export const ruleSources = {
  simple: 'ILAC-G8:09/2019 simple acceptance (w = 0); JCGM 106:2012, 8.2',
  guarded: 'ILAC-G8:09/2019 guard band w = r·U; JCGM 106:2012, 8.3',
  conformance: 'JCGM 106:2012, 7 and 8.3: conformance probability, both tails',
  iso14253: 'ISO 14253-1:2017 default: 95 % conformance probability',
} as const;

/** Guard band as wide as the expanded uncertainty: less than 2.5 % false acceptance at the limit (ILAC-G8). */
export const guardedByUncertainty: DecisionRule = { kind: 'guarded', factor: 1, source: ruleSources.guarded };

const source = z.string().min(1).max(300).optional();

/** A rule in a file; `source` may be left out and is then filled in. */
export const decisionRuleSchema = z
  .discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('simple'), source }),
    z.strictObject({
      kind: z.literal('guarded'),
      factor: z.number().refine((factor) => factor >= 0 && factor <= 100, {
        message: 'must lie between 0 and 100; it multiplies the expanded uncertainty, often 1',
        params: { code: 'outside', values: { lower: 0, upper: 100 } },
      }),
      source,
    }),
    z.strictObject({
      kind: z.literal('conformance'),
      probability: z.number().refine((probability) => probability >= 0.5 && probability <= 0.999999999, {
        message: 'must lie between 0.5 and 0.999999999; give the required probability, often 0.95',
        params: { code: 'outside', values: { lower: 0.5, upper: 0.999999999 } },
      }),
      source,
    }),
  ])
  .transform((rule): DecisionRule => ({ ...rule, source: rule.source ?? ruleSources[rule.kind] }));
