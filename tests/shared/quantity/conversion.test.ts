import fc from 'fast-check';
import { expect, test } from 'vitest';
import { convert } from '../../../shared/quantity/conversion.ts';
import { parseDecimal, rationalOfNumber } from '../../../shared/quantity/decimal-text.ts';
import { displayText, roundToResolution } from '../../../shared/quantity/display.ts';
import { parseTypedNumber } from '../../../shared/quantity/typed-number.ts';
import { massUnits, torqueUnits, type Unit } from '../../../shared/quantity/unit.ts';
import { unitOfText } from '../../../shared/quantity/unit-text.ts';

const unitPair = fc.oneof(
  fc.tuple(fc.constantFrom(...massUnits), fc.constantFrom(...massUnits)),
  fc.tuple(fc.constantFrom(...torqueUnits), fc.constantFrom(...torqueUnits)),
);

test('there and back through any unit is exactly the same value', () => {
  fc.assert(
    fc.property(unitPair, fc.double({ noNaN: true, noDefaultInfinity: true }), ([from, to], value) => {
      const there = convert(value, from, to);
      if (!there.ok) throw new Error(there.error.message);
      expect(convert(there.value, to, from)).toEqual({ ok: true, value: rationalOfNumber(value) });
    }),
  );
});

test('a way over a third unit makes no difference', () => {
  fc.assert(
    fc.property(
      fc.tuple(
        fc.constantFrom(...torqueUnits),
        fc.constantFrom(...torqueUnits),
        fc.constantFrom(...torqueUnits),
      ),
      fc.integer(),
      ([a, b, c], value) => {
        const over = convert(value, a, b);
        if (!over.ok) throw new Error(over.error.message);
        expect(convert(over.value, b, c)).toEqual(convert(value, a, c));
      },
    ),
  );
});

test('mass into torque is refused with the units that would do', () => {
  expect(convert(1, 'g', 'N.m')).toEqual({
    ok: false,
    error: {
      code: 'mixed_quantities',
      field: 'to',
      message: 'g measures mass and N.m measures torque; choose one of g, mg, kg, oz, lb, gr',
    },
  });
});

test('what is no number is not converted', () => {
  expect(convert('1,5', 'g', 'kg')).toMatchObject({ ok: false, error: { code: 'not_a_number' } });
  expect(convert(Number.NaN, 'g', 'kg')).toMatchObject({ ok: false, error: { code: 'not_a_number' } });
});

test.each([
  ['N·m', 'N.m'],
  ['Nm', 'N.m'],
  ['N*m', 'N.m'],
  ['cNm', 'cN.m'],
  ['lbf·in', 'lbf.in'],
  ['in-lbf', 'lbf.in'],
  ['lbf ft', 'lbf.ft'],
  ['ft.lb', 'lbf.ft'],
  ['kgf·cm', 'kgf.cm'],
  ['oz av', 'oz'],
  ['grain', 'gr'],
  [' kg ', null],
  ['MG', null],
  ['Kg', null],
  ['mN.m', null],
  ['bar', null],
  ['', null],
])('the text "%s" means %s', (text, unit) => {
  expect(unitOfText(text)).toBe(unit);
});

test('every unit is understood as it is written in files', () => {
  for (const unit of [...massUnits, ...torqueUnits] as Unit[]) expect(unitOfText(unit)).toBe(unit);
});

test('display rounds to the step of the instrument, never further', () => {
  const value = parseDecimal('25.7605410')!;
  expect(displayText(value, parseDecimal('0.05')!)).toBe('25.75');
  expect(displayText(value, parseDecimal('1')!)).toBe('26');
  expect(displayText(value, parseDecimal('0.0001')!)).toBe('25.7605');
  expect(roundToResolution(parseDecimal('0.075')!, parseDecimal('0.05')!)).toEqual(parseDecimal('0.1'));
  expect(displayText(parseDecimal('0.025')!, parseDecimal('0.05')!, 'half-up')).toBe('0.05');
});

test('a typed number keeps its decimals and takes the locale’s decimal sign only', () => {
  expect(parseTypedNumber('12,50', ',')).toMatchObject({ ok: true, value: { text: '12.50' } });
  expect(parseTypedNumber(' 12.50 ', '.')).toMatchObject({ ok: true, value: { text: '12.50' } });
  expect(parseTypedNumber('−0,5', ',')).toMatchObject({ ok: true, value: { text: '-0.5' } });
  expect(parseTypedNumber('+,5', ',')).toMatchObject({ ok: true, value: { text: '0.5' } });
  expect(parseTypedNumber('12,', ',')).toMatchObject({ ok: true, value: { text: '12' } });
});

test.each([
  ['1.234', ',', 'thousands_mark'],
  ['1,234', '.', 'thousands_mark'],
  ['1.234,5', ',', 'thousands_mark'],
  ['1 234', '.', 'thousands_mark'],
  ['1’234', '.', 'thousands_mark'],
  ['1.2.3', '.', 'not_a_number'],
  ['12g', '.', 'not_a_number'],
  ['1e3', '.', 'not_a_number'],
  ['NaN', '.', 'not_a_number'],
  ['-', '.', 'not_a_number'],
  ['.', '.', 'not_a_number'],
  ['', '.', 'empty'],
] as const)('typed "%s" where the sign is "%s" is refused as %s', (typed, sign, code) => {
  expect(parseTypedNumber(typed, sign)).toMatchObject({ ok: false, error: { code } });
});
