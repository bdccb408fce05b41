import { convert } from '../quantity/conversion.ts';
import { decimalsOf, exactDecimal, formatDecimal, parseDecimal } from '../quantity/decimal-text.ts';
import { add, negate, type Rational, toNumber } from '../quantity/rational.ts';
import { quantityOf, type Unit } from '../quantity/unit.ts';
import { ok, type Result, refuse } from '../result.ts';

/** A weighing as the scale showed it. */
export interface Weighing {
  readonly text: string;
  readonly unit: Unit;
}

/**
 * How grease is weighed into a head:
 * - `dish`: empty dish, full dish; what stays on dish and tool is weighed back or entered as `residue`.
 * - `difference`: tube or cartridge before and after; what hangs on the tool is `residue`.
 * - `housing`: the head on the scale, before and after.
 */
export type WeighOut =
  | {
      readonly method: 'dish';
      readonly empty: Weighing;
      readonly full: Weighing;
      readonly residue?: Residue | undefined;
    }
  | {
      readonly method: 'difference';
      readonly before: Weighing;
      readonly after: Weighing;
      readonly residue?: Residue | undefined;
    }
  | { readonly method: 'housing'; readonly before: Weighing; readonly after: Weighing };

/** Grease that was weighed out and did not reach the head: entered, or the dish and tool weighed again. */
export type Residue =
  | { readonly kind: 'entered'; readonly amount: Weighing }
  | { readonly kind: 'weighed'; readonly clean: Weighing; readonly used: Weighing };

export interface FilledMass {
  /** Exact, with the decimals of the finest weighing, in `unit`. */
  readonly text: string;
  readonly value: number;
  readonly unit: Unit;
  /** Residue that was taken off, in `unit`. */
  readonly residue: number;
  /** Weighings that count in the budget: each brings its step and its scatter. */
  readonly weighings: number;
}

/**
 * Mass of grease in the head, exactly, in the unit of the first weighing. Refuses other quantities, text that
 * is no number, and a result below zero: then two weighings were swapped.
 */
export function filledMass(weighOut: WeighOut): Result<FilledMass> {
  const [plus, minus] = sidesOf(weighOut);
  const unit = plus[0]?.weighing.unit ?? 'g';
  let total: Rational = { numerator: 0n, denominator: 1n };
  let residue: Rational = total;
  let decimals = 0;
  for (const { field, weighing, sign, isResidue } of [...plus, ...minus]) {
    const exact = exactIn(weighing, unit, field);
    if (!exact.ok) return exact;
    const signed = sign > 0 ? exact.value : negate(exact.value);
    total = add(total, signed);
    if (isResidue) residue = add(residue, negate(signed));
    decimals = Math.max(decimals, shownDecimals(weighing, exact.value, unit));
  }
  if (total.numerator < 0n) {
    return refuse(
      'negative_mass',
      '',
      `gives ${formatDecimal(total, decimals, 'half-even')} ${unit}, below zero; check the order of the weighings`,
    );
  }
  const weighedResidue = 'residue' in weighOut && weighOut.residue?.kind === 'weighed';
  return ok({
    text: formatDecimal(total, decimals, 'half-even'),
    value: toNumber(total),
    unit,
    residue: toNumber(residue),
    weighings: weighedResidue ? 4 : 2,
  });
}

/** Decimals as shown; in another unit those of the exact conversion, six where it does not end. */
function shownDecimals(weighing: Weighing, exact: Rational, unit: Unit): number {
  if (weighing.unit === unit) return decimalsOf(weighing.text);
  const text = exactDecimal(exact);
  return text === null ? 6 : decimalsOf(text);
}

interface Term {
  readonly field: string;
  readonly weighing: Weighing;
  readonly sign: 1 | -1;
  readonly isResidue: boolean;
}

function term(field: string, weighing: Weighing, sign: 1 | -1, isResidue = false): Term {
  return { field, weighing, sign, isResidue };
}

function sidesOf(weighOut: WeighOut): readonly [Term[], Term[]] {
  switch (weighOut.method) {
    case 'dish':
      return [
        [term('full', weighOut.full, 1)],
        [term('empty', weighOut.empty, -1), ...residueTerms(weighOut.residue)],
      ];
    case 'difference':
      return [
        [term('before', weighOut.before, 1)],
        [term('after', weighOut.after, -1), ...residueTerms(weighOut.residue)],
      ];
    case 'housing':
      return [[term('after', weighOut.after, 1)], [term('before', weighOut.before, -1)]];
  }
}

function residueTerms(residue: Residue | undefined): Term[] {
  if (residue === undefined) return [];
  if (residue.kind === 'entered') return [term('residue.amount', residue.amount, -1, true)];
  return [term('residue.used', residue.used, -1, true), term('residue.clean', residue.clean, 1, true)];
}

function exactIn(weighing: Weighing, unit: Unit, field: string): Result<Rational> {
  const exact = parseDecimal(weighing.text);
  if (exact === null) {
    return refuse('not_a_number', field, `"${weighing.text}" is not a decimal number; weigh again`);
  }
  if (quantityOf(weighing.unit) !== 'mass') {
    return refuse('mixed_quantities', `${field}.unit`, `${weighing.unit} measures torque; give a mass`);
  }
  return convert(exact, weighing.unit, unit);
}
