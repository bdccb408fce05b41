import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  decisions,
  type Judgement,
  type JudgementRequest,
  judge,
} from '../../../shared/acceptance/judgement.ts';
import { type DecisionRule, ruleSources } from '../../../shared/acceptance/rule.ts';
import { convert, convertNumber } from '../../../shared/quantity/conversion.ts';
import { exactDecimal } from '../../../shared/quantity/decimal-text.ts';
import { torqueUnits, type Unit } from '../../../shared/quantity/unit.ts';

const guarded = (factor: number): DecisionRule => ({ kind: 'guarded', factor, source: ruleSources.guarded });
const atProbability = (probability: number): DecisionRule => ({
  kind: 'conformance',
  probability,
  source: ruleSources.conformance,
});
const simple: DecisionRule = { kind: 'simple', source: ruleSources.simple };

const ring: JudgementRequest = {
  quantity: 'torque',
  reading: { value: 19, unit: 'lbf.ft' },
  band: { target: 27, lower: 25.92, upper: 28.08, unit: 'N.m' },
  uncertainty: { expanded: 0.3, k: 2, unit: 'N.m' },
  rule: guarded(1),
};

function judged(request: JudgementRequest): Judgement {
  const result = judge(request);
  if (!result.ok) throw new Error(`${result.error.field}: ${result.error.message}`);
  return result.value;
}

const inNewtonMetres = (text: string, rule: DecisionRule = guarded(1)) =>
  judged({ ...ring, reading: { text, unit: 'N.m' }, rule }).decision;

describe('a lock ring at 27 N.m, 25.92…28.08, U 0.3', () => {
  test('19 lbf.ft is 25.7605410 N.m: conditional fail, conformance 0.1439', () => {
    const judgement = judged(ring);
    expect(judgement.value).toBeCloseTo(25.760541018296607, 12);
    expect(judgement.acceptance).toEqual({ lower: 26.22, upper: 27.78 });
    expect(judgement.decision).toBe('conditional fail');
    expect(Math.abs(judgement.conformance - 0.1439)).toBeLessThanOrEqual(0.0005);
    expect(judgement.margin).toBeCloseTo(25.760541018296607 - 26.22, 12);
  });

  test.each([
    ['26.22', 'pass'],
    ['27.78', 'pass'],
    ['27', 'pass'],
    ['26.219999999999999999', 'conditional pass'],
    ['27.780000000000000001', 'conditional pass'],
    ['25.92', 'conditional pass'],
    ['28.08', 'conditional pass'],
    ['25.919999999999999999', 'conditional fail'],
    ['25.62', 'conditional fail'],
    ['28.38', 'conditional fail'],
    ['25.619999999999999999', 'fail'],
    ['28.380000000000000001', 'fail'],
    ['-27', 'fail'],
  ])('%s N.m is a %s: a limit belongs to the inside, to the last digit', (text, decision) => {
    expect(inNewtonMetres(text)).toBe(decision);
  });

  test('simple acceptance knows pass and fail only', () => {
    expect(['25.92', '28.08', '25.9199', '28.0801'].map((text) => inNewtonMetres(text, simple))).toEqual([
      'pass',
      'pass',
      'fail',
      'fail',
    ]);
  });

  test('at 95 % a value is failed only where nonconformance is shown with 95 %', () => {
    // u = 0.15, z = 1.6449: shown from 25.92 − 0.2467 downwards.
    expect(
      ['26.17', '26.16', '25.93', '25.70', '25.67'].map((text) => inNewtonMetres(text, atProbability(0.95))),
    ).toEqual(['pass', 'conditional pass', 'conditional pass', 'conditional fail', 'fail']);
  });

  test('rule, source and uncertainty in the band’s unit stay with the judgement', () => {
    const judgement = judged({ ...ring, uncertainty: { expanded: 3, k: 2, unit: 'lbf.in' } });
    expect(judgement.rule).toEqual(guarded(1));
    expect(judgement.uncertainty.unit).toBe('N.m');
    expect(judgement.uncertainty.expanded).toBeCloseTo(0.33895448708285, 13);
    expect(judgement.uncertainty.k).toBe(2);
  });
});

describe('limits of what an instrument can show', () => {
  test('a guard band wider than half the tolerance leaves no zone and says so', () => {
    const judgement = judged({ ...ring, uncertainty: { expanded: 1.09, k: 2, unit: 'N.m' } });
    expect(judgement.acceptance).toBeNull();
    expect(judgement.margin).toBeNull();
    expect(judgement.sentence).toBe('no acceptance zone: this instrument cannot show it');
  });

  test('a guard band of exactly half the tolerance leaves the centre', () => {
    const judgement = judged({
      ...ring,
      reading: { value: 27, unit: 'N.m' },
      uncertainty: { expanded: 1.08, k: 2, unit: 'N.m' },
    });
    expect(judgement.acceptance).toEqual({ lower: 27, upper: 27 });
    expect(judgement.decision).toBe('pass');
    expect(judgement.margin).toBe(0);
  });

  test('one-sided bands have one limit each', () => {
    const upTo = judged({ ...ring, band: { upper: 28.08, unit: 'N.m' } });
    expect(upTo.acceptance).toEqual({ lower: null, upper: 27.78 });
    expect(upTo.decision).toBe('pass');
    const from = judged({ ...ring, band: { lower: 25.92, unit: 'N.m' } });
    expect(from.acceptance).toEqual({ lower: 26.22, upper: null });
    expect(from.decision).toBe('conditional fail');
  });
});

describe('questions that are refused', () => {
  test.each<[string, Partial<JudgementRequest>, string, string]>([
    ['a mass against a torque', { reading: { value: 1, unit: 'g' } }, 'reading.unit', 'mixed_quantities'],
    ['a band of mass', { band: { lower: 1, unit: 'g' } }, 'band.unit', 'mixed_quantities'],
    [
      'an uncertainty of mass',
      { uncertainty: { expanded: 1, k: 2, unit: 'g' } },
      'uncertainty.unit',
      'mixed_quantities',
    ],
    ['NaN', { reading: { value: Number.NaN, unit: 'N.m' } }, 'reading.value', 'not_finite'],
    [
      'an infinite reading',
      { reading: { value: Number.POSITIVE_INFINITY, unit: 'N.m' } },
      'reading.value',
      'not_finite',
    ],
    ['text that is no number', { reading: { text: '19 ft', unit: 'N.m' } }, 'reading.text', 'not_finite'],
    ['inverted limits', { band: { lower: 3, upper: 2, unit: 'N.m' } }, 'band.lower', 'inverted_limits'],
    ['equal limits', { band: { lower: 2, upper: 2, unit: 'N.m' } }, 'band.lower', 'inverted_limits'],
    ['no limits', { band: { target: 2, unit: 'N.m' } }, 'band.lower', 'no_limits'],
    [
      'a target outside',
      { band: { target: 1, lower: 2, upper: 3, unit: 'N.m' } },
      'band.target',
      'target_outside',
    ],
    [
      'an infinite limit',
      { band: { lower: Number.NEGATIVE_INFINITY, unit: 'N.m' } },
      'band.lower',
      'not_finite',
    ],
    [
      'no uncertainty',
      { uncertainty: { expanded: 0, k: 2, unit: 'N.m' } },
      'uncertainty.expanded',
      'uncertainty_not_positive',
    ],
    [
      'a negative one',
      { uncertainty: { expanded: -1, k: 2, unit: 'N.m' } },
      'uncertainty.expanded',
      'uncertainty_not_positive',
    ],
    [
      'k of zero',
      { uncertainty: { expanded: 1, k: 0, unit: 'N.m' } },
      'uncertainty.k',
      'coverage_factor_not_positive',
    ],
  ])('%s', (_, part, field, code) => {
    expect(judge({ ...ring, ...part })).toMatchObject({ ok: false, error: { field, code } });
  });
});

const rules = fc.oneof(
  fc.constant(simple),
  fc.integer({ min: 0, max: 30 }).map((tenths) => guarded(tenths / 10)),
  fc.integer({ min: 50, max: 99 }).map((percent) => atProbability(percent / 100)),
);
const hundredths = (min: number, max: number) =>
  fc.integer({ min: min * 100, max: max * 100 }).map((n) => n / 100);
const bands = fc
  .tuple(hundredths(1, 100), hundredths(0.01, 20))
  .map(([lower, width]) => ({ lower, upper: Number((lower + width).toFixed(2)), unit: 'N.m' as const }));

describe('properties', () => {
  test('the acceptance zone lies inside the tolerance', () => {
    fc.assert(
      fc.property(bands, hundredths(0.01, 5), rules, (band, expanded, rule) => {
        const { acceptance } = judged({ ...ring, band, uncertainty: { expanded, k: 2, unit: 'N.m' }, rule });
        if (acceptance === null) return;
        expect(acceptance.lower).toBeGreaterThanOrEqual(band.lower);
        expect(acceptance.upper).toBeLessThanOrEqual(band.upper);
        expect(acceptance.lower).toBeLessThanOrEqual(acceptance.upper!);
      }),
    );
  });

  test('conformance does not fall on the way to the centre, and the decision gets no worse', () => {
    fc.assert(
      fc.property(
        bands,
        hundredths(0.01, 5),
        rules,
        hundredths(0, 1),
        hundredths(0, 1),
        (band, expanded, rule, a, b) => {
          const centre = (band.lower + band.upper) / 2;
          const at = (fraction: number) =>
            judged({
              ...ring,
              reading: { value: centre + fraction * 2 * (band.upper - band.lower), unit: 'N.m' },
              band,
              uncertainty: { expanded, k: 2, unit: 'N.m' },
              rule,
            });
          const nearer = at(Math.min(a, b));
          const further = at(Math.max(a, b));
          expect(nearer.conformance).toBeGreaterThanOrEqual(further.conformance - 1e-12);
          expect(decisions.indexOf(nearer.decision)).toBeLessThanOrEqual(decisions.indexOf(further.decision));
        },
      ),
    );
  });

  test('pass means a margin of zero or more; outside the zone it is negative', () => {
    fc.assert(
      fc.property(bands, hundredths(0, 130), hundredths(0.01, 5), rules, (band, value, expanded, rule) => {
        const judgement = judged({
          ...ring,
          reading: { value, unit: 'N.m' },
          band,
          uncertainty: { expanded, k: 2, unit: 'N.m' },
          rule,
        });
        if (judgement.margin === null) expect(judgement.decision).not.toBe('pass');
        else expect(judgement.margin >= 0).toBe(judgement.decision === 'pass');
      }),
    );
  });

  test('the decision does not depend on the unit in which the reading is given', () => {
    fc.assert(
      fc.property(
        bands,
        fc.constantFrom(...torqueUnits),
        hundredths(0, 130),
        hundredths(0.01, 5),
        rules,
        (band, unit, valueInNewtonMetres, expanded, rule) => {
          const size = Math.round((100 * valueInNewtonMetres) / convertNumber(1, unit, 'N.m')) / 100;
          const exact = convert(size, unit, 'N.m');
          if (!exact.ok) throw new Error(exact.error.message);
          const text = exactDecimal(exact.value)!;
          const rest = { ...ring, band, uncertainty: { expanded, k: 2, unit: 'N.m' as const }, rule };
          expect(judged({ ...rest, reading: { value: size, unit } })).toEqual(
            judged({ ...rest, reading: { text, unit: 'N.m' } }),
          );
        },
      ),
    );
  });

  test('the decision does not depend on the unit of the band either', () => {
    fc.assert(
      fc.property(
        bands,
        fc.constantFrom<Unit>('cN.m', 'kgf.cm', 'kgf.m'),
        hundredths(0, 130),
        hundredths(0.01, 5),
        rules,
        (band, unit, value, expanded, rule) => {
          // The band's numbers are meant in `unit`; the same limits in N.m are still short decimals.
          const inNewtonMetresToo = {
            lower: convertNumber(band.lower, unit, 'N.m'),
            upper: convertNumber(band.upper, unit, 'N.m'),
            unit: 'N.m' as const,
          };
          const rest = {
            ...ring,
            reading: { value, unit },
            uncertainty: { expanded, k: 2, unit },
            rule,
          };
          const own = judged({ ...rest, band: { ...band, unit } });
          const other = judged({ ...rest, band: inNewtonMetresToo });
          expect(other.decision).toBe(own.decision);
          expect(other.conformance).toBeCloseTo(own.conformance, 9);
        },
      ),
    );
  });
});
