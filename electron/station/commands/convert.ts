import { convert } from '../../../shared/quantity/conversion.ts';
import { exactDecimal, formatDecimal, parseDecimal } from '../../../shared/quantity/decimal-text.ts';
import { type Rational, toNumber } from '../../../shared/quantity/rational.ts';
import type { Unit } from '../../../shared/quantity/unit.ts';
import { quotedUnits, unitOfText } from '../../../shared/quantity/unit-text.ts';
import { BadInput, badInput, type Command } from './command.ts';

/** Significant digits of a decimal expansion that does not end. */
const significantDigits = 25;

/** Converts a value exactly. */
export const convertCommand: Command = {
  name: 'convert',
  summary: 'Convert a mass or a torque exactly: convert 23 N.m lbf.ft',
  usage: 'VALUE UNIT UNIT',
  help: `
VALUE is a decimal number (point, no thousands marks; a negative one after --: convert -- -5 g oz).
Units: ${quotedUnits()}; other signs of multiplication are understood (N·m, Nm, lbf in).

Prints the value and unit. With --json:
  value          the nearest double
  text           the exact decimal where it ends, else rounded half to even at ${significantDigits} significant digits
  exact          true where text is exact
  unit           the unit converted to
  exactFraction  numerator/denominator

Exit: 0 done, 2 bad input.
`,
  options: {},
  async run(input) {
    const { positionals } = input;
    const [valueText = '', fromText = '', toText = ''] =
      positionals.length === 2 ? splitValue(positionals) : positionals;
    if (positionals.length < 2 || positionals.length > 3) {
      throw new BadInput('convert: give a value and two units, like convert 23 N.m lbf.ft');
    }
    const value = parseDecimal(valueText);
    if (value === null) {
      throw new BadInput(`value: "${valueText}" is not a finite decimal number; write it like 12.5`);
    }
    const to = unit('to', toText);
    const converted = convert(value, unit('from', fromText), to);
    if (!converted.ok) throw badInput(converted.error);
    const result = describe(converted.value, to);
    await input.print(input.json ? JSON.stringify(result) : `${result.text} ${to}`);
    return 0;
  },
};

/** `23N.m lbf.ft` in two words. */
function splitValue([first = '', second = '']: readonly string[]): readonly string[] {
  const match = /^([+-]?[\d.]+(?:[eE][+-]?\d+)?)\s*([^\d.\s].*)$/.exec(first);
  return match === null ? [first, '', second] : [match[1] ?? '', match[2] ?? '', second];
}

function unit(field: string, text: string): Unit {
  const found = unitOfText(text);
  if (found !== null) return found;
  throw new BadInput(
    text === ''
      ? `${field}: missing; choose one of ${quotedUnits()}`
      : `${field}: "${text}" is not a known unit; choose one of ${quotedUnits()}`,
  );
}

function describe(value: Rational, to: Unit) {
  const exactText = exactDecimal(value);
  return {
    value: toNumber(value),
    text: exactText ?? roundedText(value),
    exact: exactText !== null,
    unit: to,
    exactFraction: `${value.numerator}/${value.denominator}`,
  };
}

function roundedText(value: Rational): string {
  const magnitude = Math.abs(toNumber(value));
  const leading = magnitude > 0 ? Math.floor(Math.log10(magnitude)) : 0;
  return formatDecimal(value, Math.max(0, significantDigits - 1 - leading), 'half-even');
}
