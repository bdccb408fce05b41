import type { Judgement } from '../../../../shared/acceptance/judgement.ts';
import { decimalsOf, formatDecimal, rationalOfNumber } from '../../../../shared/quantity/decimal-text.ts';
import type { Unit } from '../../../../shared/quantity/unit.ts';

/** Decimals beyond which no reading of a bench instrument means anything. */
const mostDecimals = 9;

/** Space that does not break: between a number and its unit (ISO 80000-1, 7.1.4). */
export const unitSpace = '\u00a0';

/** A number with exactly so many decimals, as canonical decimal text, ties to even. */
export function fixedText(value: number, decimals: number): string {
  return formatDecimal(rationalOfNumber(value), decimals, 'half-even');
}

/** A number by its shortest decimal text, without exponent. */
export function plainText(value: number): string {
  const text = String(value);
  return text.includes('e') ? fixedText(value, 12) : text;
}

/**
 * Decimals at which an expanded uncertainty shows two significant digits (JCGM 100:2008, 7.2.6), and no fewer than
 * the tolerance limits have.
 */
function usualDecimals(expanded: number, limits: readonly number[]): number {
  const ofUncertainty = 1 - Math.floor(Math.log10(expanded));
  const ofLimits = limits.map((limit) => decimalsOf(plainText(limit)));
  return Math.min(mostDecimals, Math.max(0, ofUncertainty, ...ofLimits));
}

/**
 * Decimals for a judged value and its limits: as many as the uncertainty deserves, and more where rounding would
 * carry the value onto or across a limit, so that what is printed never contradicts the decision.
 */
export function decimalsOfJudgement(judgement: Judgement): number {
  const { value, tolerance, acceptance, uncertainty } = judgement;
  const stated = present([tolerance.lower, tolerance.upper]);
  const limits = [...stated, ...present([acceptance?.lower, acceptance?.upper])];
  let decimals = usualDecimals(uncertainty.expanded, stated);
  const isTrue = (limit: number) => {
    const shown = Number(fixedText(value, decimals)) - Number(fixedText(limit, decimals));
    return Math.sign(shown) === Math.sign(value - limit);
  };
  while (decimals < mostDecimals && !limits.every(isTrue)) decimals += 1;
  return decimals;
}

function present(values: readonly (number | null | undefined)[]): readonly number[] {
  return values.filter((value) => typeof value === 'number');
}

/** A unit as people print it (ISO 80000-1, 7.2.2: a half-high dot between units multiplied). */
export function unitName(unit: Unit): string {
  return unit.replaceAll('.', '·');
}

/**
 * A probability in per cent, cut off after two decimals so that it never looks better than it is, and never
 * 100 % or 0 %. Canonical decimal text with a comparison sign where needed.
 */
export function percentParts(share: number): { readonly sign: '' | '> ' | '< '; readonly text: string } {
  if (share > 0.9999) return { sign: '> ', text: '99.99' };
  if (share < 0.0001) return { sign: '< ', text: '0.01' };
  return { sign: '', text: fixedText(Math.floor(share * 10_000) / 100, 2) };
}
