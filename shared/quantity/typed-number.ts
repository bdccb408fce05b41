import { ok, type Result, refuse } from '../result.ts';
import { parseDecimal } from './decimal-text.ts';
import type { Rational } from './rational.ts';

/** The sign between whole and fraction that a locale writes. */
export type DecimalSign = '.' | ',';

/** A number as a person typed it: canonical text with its decimals kept, and the exact value. */
export interface TypedNumber {
  readonly text: string;
  readonly value: Rational;
}

/**
 * Reads what a person typed. Only the locale's own decimal sign is taken, so that 1.234 and 1,234 can never
 * be mistaken for each other; thousands marks are refused. `12,50` gives text `12.50`.
 */
export function parseTypedNumber(typed: string, decimalSign: DecimalSign): Result<TypedNumber> {
  const text = typed.trim().replace(/^[−–]/, '-');
  if (text === '') return refuse('empty', '', 'nothing typed; type a number');
  const foreign = decimalSign === '.' ? ',' : '.';
  if (text.includes(foreign) || /\d[\s'’_\u00a0\u202f]\d/.test(text)) {
    return refuse(
      'thousands_mark',
      '',
      `"${typed}" holds a mark that is not the decimal sign here; write it without thousands marks and with "${decimalSign}", like 1234${decimalSign}5`,
    );
  }
  const plain = text
    .replace(decimalSign, '.')
    .replace(/^\+/, '')
    .replace(/^(-?)\.(?=\d)/, '$10.')
    .replace(/(?<=\d)\.$/, '');
  const value = /^-?\d+(\.\d+)?$/.test(plain) ? parseDecimal(plain) : null;
  if (value === null) {
    return refuse('not_a_number', '', `"${typed}" is not a number; write it like 12${decimalSign}5`);
  }
  return ok({ text: plain, value });
}
