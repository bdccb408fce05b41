import Decimal from 'decimal.js';
import Fraction from 'fraction.js';
import { all, create } from 'mathjs';
import { describe, expect, test } from 'vitest';
import { conversionFactor, convert, convertNumber } from '../../shared/quantity/conversion.ts';
import { exactDecimal } from '../../shared/quantity/decimal-text.ts';
import { toNumber } from '../../shared/quantity/rational.ts';
import { massUnits, torqueUnits, type Unit } from '../../shared/quantity/unit.ts';
import checkValues from '../fixtures/check-values.json' with { type: 'json' };
import { expectRelative, taken } from './nearness.ts';

const math = create(all ?? {});

describe('T01 units (NIST SP 811 App. B.8 as quoted in open unit tests; Debian units 2.22; trust A)', () => {
  test.each([
    ['lbf.in', 'N.m', '0.1129848290276167'],
    ['lbf.ft', 'N.m', '1.3558179483314004'],
    ['ozf.in', 'N.m', '0.00706155181422604375'],
    ['kgf.m', 'N.m', '9.80665'],
    ['kgf.cm', 'N.m', '0.0980665'],
    ['gf.cm', 'N.m', '0.0000980665'],
    ['cN.m', 'N.m', '0.01'],
    ['lb', 'g', '453.59237'],
    ['oz', 'g', '28.349523125'],
    ['gr', 'g', '0.06479891'],
  ] as const)('one %s is exactly %s %s', (from, to, decimal) => {
    expect(exactDecimal(taken(convert('1', from, to)))).toBe(decimal);
  });

  test('the exact fractions agree with the reference file', () => {
    for (const [unit, { fraction }] of Object.entries(checkValues.public.units.to_Nm)) {
      const [numerator = '', denominator = ''] = fraction.split('/');
      const factor = conversionFactor(unit as Unit, 'N.m')!;
      expect(factor.numerator * BigInt(denominator), unit).toBe(factor.denominator * BigInt(numerator));
    }
  });

  test('the print of SP 811 is the exact factor rounded to seven digits', () => {
    for (const [unit, row] of Object.entries(checkValues.public.units.to_Nm)) {
      if (!('SP811' in row)) continue;
      expectRelative(toNumber(conversionFactor(unit as Unit, 'N.m')!), Number(row.SP811), 5e-7);
    }
  });

  test('twelve lbf.in are one lbf.ft, exactly', () => {
    expect(taken(convert('12', 'lbf.in', 'lbf.ft'))).toEqual({ numerator: 1n, denominator: 1n });
  });

  test.each([
    ['lbf.in', 8.850745791327185],
    ['lbf.ft', 0.7375621492772654],
    ['kgf.cm', 10.197162129779283],
  ] as const)('one N.m in %s is the computed inverse (trust E)', (unit, expected) => {
    expectRelative(convertNumber(1, 'N.m', unit), expected, 1e-15);
  });

  test('a US Navy training manual prints 0.112 985, 0.453 592 kg and 28.3495 g (trust A)', () => {
    expect(convertNumber(1, 'lbf.in', 'N.m').toFixed(6)).toBe('0.112985');
    expect(convertNumber(1, 'lb', 'kg').toFixed(6)).toBe('0.453592');
    expect(convertNumber(1, 'oz', 'g').toFixed(4)).toBe('28.3495');
  });
});

describe('units against independent libraries', () => {
  const mathNames: Readonly<Record<string, string>> = {
    g: 'g',
    mg: 'mg',
    kg: 'kg',
    oz: 'oz',
    lb: 'lbm',
    gr: 'grain',
    'N.m': 'N m',
    'cN.m': 'cN m',
    'lbf.in': 'lbf inch',
    'lbf.ft': 'lbf ft',
    'kgf.cm': 'kgf cm',
    'kgf.m': 'kgf m',
  };

  test.each([massUnits, torqueUnits])(
    'mathjs converts %s, %s … to the same double within 1e-14',
    (...units) => {
      for (const from of units as readonly Unit[]) {
        for (const to of units as readonly Unit[]) {
          const [fromName, toName] = [mathNames[from], mathNames[to]];
          if (fromName === undefined || toName === undefined) continue;
          expectRelative(convertNumber(7.3, from, to), math.unit(7.3, fromName).toNumber(toName), 1e-14);
        }
      }
    },
  );

  test('decimal.js multiplies pound, standard gravity and inch to the same digits', () => {
    const product = new Decimal('0.45359237').times('9.80665').times('0.0254');
    expect(exactDecimal(taken(convert('1', 'lbf.in', 'N.m')))).toBe(product.toFixed());
  });

  test('fraction.js divides kgf.cm by lbf.in to the same fraction', () => {
    const expected = new Fraction('0.0980665').div(new Fraction('0.45359237').mul('9.80665').mul('0.0254'));
    const factor = conversionFactor('kgf.cm', 'lbf.in')!;
    expect(factor.numerator).toBe(expected.n);
    expect(factor.denominator).toBe(expected.d);
  });
});
