import type { Indication } from '../shared/indication.ts';
import { parseDecimal } from '../shared/quantity/decimal-text.ts';
import { compare, multiply, type Rational, rational, subtract } from '../shared/quantity/rational.ts';
import type { LocalizedText } from '../shared/sheet/localized-text.ts';
import type { SteadinessRule } from './profile/settings.ts';

export interface Steadiness {
  /**
   * Takes an indication with its arrival, monotonic milliseconds; gives it back as stable or unstable by the rule.
   */
  push(indication: Indication, atMilliseconds: number): Indication;
  /** Forgets what was: after a lost port, a refused line, or a change of the load by a request (tare, zero). */
  reset(): void;
}

/** The rule where a profile of a scale without a flag names none. Common practice, no source. */
export const usualSteadinessRule: SteadinessRule = { readings: 5, window_ms: 1000, spread_divisions: 1 };

/** More readings than this in a window are thinned by forgetting the oldest ones. */
const mostReadings = 1000;

/**
 * Our own steadiness rule, for scales that do not say whether they are stable: a reading is stable when the readings
 * of the last `window_ms` are at least `readings` in number, go back that far without a break, are all in its unit,
 * and differ among each other by no more than `spread_divisions` divisions. Compared as exact decimals.
 */
export function createSteadiness(rule: SteadinessRule): Steadiness {
  const divisions = new Map(Object.entries(rule.division ?? {}));
  let window: { readonly value: Rational; readonly at: number }[] = [];
  let unit: Indication['unit'] | null = null;
  let since = 0;

  function greatestSpread(indication: Indication): Rational {
    const division = divisions.get(indication.unit) ?? lastDigitOf(indication.text);
    return multiply(parseDecimal(division) ?? rational(0n), rational(BigInt(rule.spread_divisions)));
  }

  function isSteady(indication: Indication, atMilliseconds: number): boolean {
    if (window.length < rule.readings || atMilliseconds - since < rule.window_ms) return false;
    const values = window.map(({ value }) => value);
    const least = values.reduce((a, b) => (compare(b, a) < 0 ? b : a));
    const most = values.reduce((a, b) => (compare(b, a) > 0 ? b : a));
    return compare(subtract(most, least), greatestSpread(indication)) <= 0;
  }

  return {
    push(indication, atMilliseconds) {
      const value = parseDecimal(indication.text);
      if (value === null) return { ...indication, state: 'unstable' };
      const last = window.at(-1)?.at;
      const hasBreak = last !== undefined && atMilliseconds - last > rule.window_ms;
      if (indication.unit !== unit || hasBreak || window.length === 0) {
        window = [];
        unit = indication.unit;
        since = atMilliseconds;
      }
      window.push({ value, at: atMilliseconds });
      window = window.filter(({ at }) => at >= atMilliseconds - rule.window_ms).slice(-mostReadings);
      return { ...indication, state: isSteady(indication, atMilliseconds) ? 'stable' : 'unstable' };
    },
    reset() {
      window = [];
      unit = null;
    },
  };
}

/** One step of the last printed digit: `12.30` gives `0.01`, `125` gives `1`. */
function lastDigitOf(text: string): string {
  const decimals = text.includes('.') ? text.length - text.indexOf('.') - 1 : 0;
  return decimals === 0 ? '1' : `0.${'1'.padStart(decimals, '0')}`;
}

/** The rule in words, for the screen and the record. */
export function describeSteadiness(rule: SteadinessRule): LocalizedText {
  const { readings, window_ms: window, spread_divisions: spread } = rule;
  const seconds = String(window / 1000);
  const divisions = rule.division;
  const told = Object.entries(divisions ?? {}).map(([unit, division]) => `${division} ${unit}`);
  const d = told.length === 0 ? '' : ` (d = ${told.join(', ')})`;
  return {
    en: `The scale does not tell whether it is stable. It counts as stable when at least ${readings} readings of the last ${seconds} s differ by no more than ${spread} d${d}.`,
    de: `Die Waage sagt nicht, ob sie ruhig ist. Sie gilt als ruhig, wenn mindestens ${readings} Ablesungen der letzten ${seconds.replace('.', ',')} s um höchstens ${spread} d voneinander abweichen${d.replaceAll('.', ',')}.`,
  };
}
