import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  decimalsOfJudgement,
  fixedText,
  percentParts,
} from '../../../electron/station/documents/wording/number-text.ts';
import { createWording } from '../../../electron/station/documents/wording/wording.ts';
import { type Judgement, judge } from '../../../shared/acceptance/judgement.ts';
import type { DecisionRule } from '../../../shared/acceptance/rule.ts';

function judged(
  value: number,
  band: { lower?: number; upper?: number },
  expanded: number,
  rule: DecisionRule,
): Judgement {
  const result = judge({
    quantity: 'mass',
    reading: { value, unit: 'g' },
    band: { ...band, unit: 'g' },
    uncertainty: { expanded, k: 2, unit: 'g' },
    rule,
  });
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

const simple: DecisionRule = { kind: 'simple', source: 'test' };

test('a value has as many decimals as two digits of its expanded uncertainty', () => {
  // JCGM 100:2008, 7.2.4: m_S = (100,021 47 ± 0,000 79) g.
  const judgement = judged(100.0214698, { lower: 100, upper: 101 }, 0.00079, simple);
  const decimals = decimalsOfJudgement(judgement);
  expect(fixedText(judgement.value, decimals)).toBe('100.02147');
  expect(fixedText(judgement.uncertainty.expanded, decimals)).toBe('0.00079');
});

test('a value that rounding would carry onto the limit shows more decimals instead', () => {
  const judgement = judged(26.2196, { lower: 26.22, upper: 28 }, 0.3, simple);
  expect(judgement.decision).toBe('fail');
  expect(fixedText(judgement.value, decimalsOfJudgement(judgement))).toBe('26.2196');
});

test('printed numbers never contradict the decision', () => {
  const micro = (low: number, high: number) => fc.integer({ min: low, max: high }).map((n) => n / 1e6);
  const rules = fc.constantFrom<DecisionRule>(
    simple,
    { kind: 'guarded', factor: 1, source: 'test' },
    { kind: 'conformance', probability: 0.95, source: 'test' },
  );
  const bands = fc.constantFrom({ lower: 12, upper: 13 }, { lower: 12 }, { upper: 13 });
  fc.assert(
    fc.property(
      micro(11_900_000, 13_100_000),
      micro(1_000, 300_000),
      rules,
      bands,
      (value, expanded, rule, band) => {
        const judgement = judged(value, band, expanded, rule);
        const decimals = decimalsOfJudgement(judgement);
        const printed = (number: number) => Number(fixedText(number, decimals));
        const inside = ({ lower, upper }: { lower: number | null; upper: number | null }) =>
          (lower === null || printed(value) >= printed(lower)) &&
          (upper === null || printed(value) <= printed(upper));
        expect(inside(judgement.tolerance)).toBe(['pass', 'conditional pass'].includes(judgement.decision));
        const accepted = judgement.acceptance !== null && inside(judgement.acceptance);
        expect(accepted).toBe(judgement.decision === 'pass');
      },
    ),
  );
});

test('a probability is never printed better than it is, nor as certain', () => {
  fc.assert(
    fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (share) => {
      const { sign, text } = percentParts(share);
      if (sign === '') expect(Number(text) / 100).toBeLessThanOrEqual(share + 1e-12);
      expect(['100.00', '0.00'].includes(text)).toBe(false);
    }),
  );
  expect(percentParts(0.94999)).toEqual({ sign: '', text: '94.99' });
  expect(percentParts(1)).toEqual({ sign: '> ', text: '99.99' });
});

test('numbers and days are written as the language writes them', () => {
  const english = createWording('en');
  const german = createWording('de');
  expect(english.quantity(-0.5, 2, 'N.m')).toBe('−0.50\u00a0N·m');
  expect(german.quantity(-0.5, 2, 'lbf.ft')).toBe('−0,50\u00a0lbf·ft');
  expect(english.moment('2026-11-25T09:04:11.250+01:00')).toBe('2026-11-25 09:04:11\u00a0+01:00');
  expect(german.moment('2026-11-25T09:04:11Z')).toBe('25.11.2026 09:04:11\u00a0UTC');
});
