import { z } from 'zod';
import { massUnits, type Quantity, torqueUnits, type Unit, unitSchema } from './unit.ts';

const allUnits: readonly Unit[] = [...massUnits, ...torqueUnits];

/** The units of a quantity, or all, as a list for a sentence. */
export function quotedUnits(quantity?: Quantity): string {
  const units = quantity === undefined ? allUnits : quantity === 'mass' ? massUnits : torqueUnits;
  return units.join(', ');
}

/** Spellings met on instruments and papers, without points and spaces, in lower case. */
const otherSpellings: Readonly<Record<string, Unit>> = {
  inlbf: 'lbf.in',
  lbin: 'lbf.in',
  inlb: 'lbf.in',
  ftlbf: 'lbf.ft',
  lbft: 'lbf.ft',
  ftlb: 'lbf.ft',
  inozf: 'ozf.in',
  ozin: 'ozf.in',
  inoz: 'ozf.in',
  kgcm: 'kgf.cm',
  kgm: 'kgf.m',
  gcm: 'gf.cm',
  gram: 'g',
  grain: 'gr',
  ozav: 'oz',
};

function bare(text: string): string {
  return text.toLowerCase().replace(/[\s.·⋅*-]/g, '');
}

const spellings: ReadonlyMap<string, Unit> = new Map([
  ...Object.entries(otherSpellings),
  ...allUnits.map((unit): [string, Unit] => [bare(unit), unit]),
]);

/**
 * The unit that a text means: the canonical spelling (`N.m`), or the same with another sign of
 * multiplication or none (`N·m`, `Nm`, `lbf in`, `in-lbf`). `null` when it means none of ours.
 */
export function unitOfText(text: string): Unit | null {
  const canonical = unitSchema.safeParse(text);
  if (canonical.success) return canonical.data;
  // "MG" or "Kg" may be meant otherwise (mega, a name): letters alone must be spelled exactly.
  if (/^\s*[a-z]{1,2}\s*$/i.test(text) && text.trim() !== 'Nm') return null;
  return spellings.get(bare(text)) ?? null;
}

/** Unit of a file or a screen: canonical, or another unmistakable spelling. Gives the canonical one. */
export const spelledUnitSchema = z.string().transform((text, context): Unit => {
  const unit = unitOfText(text);
  if (unit !== null) return unit;
  context.addIssue({
    code: 'custom',
    message: `"${text.slice(0, 40)}" is not a known unit; choose one of ${quotedUnits()}`,
    params: { code: 'unknown_unit', values: { given: text.slice(0, 40), choices: quotedUnits() } },
  });
  return z.NEVER;
});
