import { describe, expect, test } from 'vitest';
import { conformanceProbability, nonconformanceProbability } from '../../shared/acceptance/conformance.ts';
import { judge } from '../../shared/acceptance/judgement.ts';
import { globalRisks } from '../../shared/acceptance/risk.ts';
import { type DecisionRule, ruleSources } from '../../shared/acceptance/rule.ts';
import { acceptanceZone } from '../../shared/acceptance/zone.ts';
import { normalQuantile } from '../../shared/statistics/normal.ts';
import checkValues from '../fixtures/check-values.json' with { type: 'json' };
import { expectRelative, expectWithin, taken } from './nearness.ts';

const { decision } = checkValues.public;

function conformanceRule(probability: number): DecisionRule {
  return { kind: 'conformance', probability, source: ruleSources.conformance };
}

describe('T02 one-sided conformance probability (JCGM 106:2012 7.3.3, numbers from memory, trust C)', () => {
  test('Zener diode: upper limit −5.40, value −5.47, u 0.05 gives 0.9192', () => {
    const { TU, y, u, pc, printed } = decision.jcgm106_zener;
    const probability = conformanceProbability(y, u, { lower: null, upper: TU });
    expectWithin(probability, pc, 1e-12);
    expect(probability.toFixed(2)).toBe(String(printed));
  });

  test('container: lower limit 490, value 509.7, u 8.6 gives 0.9890', () => {
    const { TL, y, u, pc, printed } = decision.jcgm106_container;
    const probability = conformanceProbability(y, u, { lower: TL, upper: null });
    expectWithin(probability, pc, 1e-12);
    expect(probability.toFixed(2)).toBe(String(printed));
  });

  test('the same through judge, as grams, with a band that has one limit', () => {
    const judgement = taken(
      judge({
        quantity: 'mass',
        reading: { text: '509.7', unit: 'g' },
        band: { lower: 490, unit: 'g' },
        uncertainty: { expanded: 17.2, k: 2, unit: 'g' },
        rule: conformanceRule(0.95),
      }),
    );
    expectWithin(judgement.conformance, 0.98900955, 1e-7);
    expect(judgement.decision).toBe('pass');
    expect(judgement.acceptance?.upper).toBeNull();
  });

  test('z for 80, 90, 95, 99 and 99.9 % (JCGM 106 Table 1, trust C)', () => {
    for (const [probability, z] of Object.entries(decision.one_sided_z)) {
      expectWithin(normalQuantile(Number(probability)), z, 5e-8);
    }
  });
});

describe('T03 risk at the acceptance limit, U = 2u (ILAC-G8:09/2019; w = 0 and w = U read, trust A; others C)', () => {
  test.each([
    ['simple acceptance', 0, 0.5, 0.5],
    ['w = U', 1, 0.02275013, 0.025],
    ['w = 1.5 U, three sigma', 1.5, 0.0013499, 0.0016],
    ['w = 3 U, six sigma', 3, 9.8659e-10, 1e-6],
    ['w = 0.83 U, ISO 14253-1:2017', 0.83, 0.04845723, 0.05],
  ] as const)('%s', (_, factor, risk, printedBelow) => {
    const u = 0.25;
    const band = { upper: 100, unit: 'g' } as const;
    const rule: DecisionRule = { kind: 'guarded', factor, source: ruleSources.guarded };
    const zone = taken(acceptanceZone(band, { expanded: 2 * u, k: 2, unit: 'g' }, rule));
    const atLimit = nonconformanceProbability(zone?.upper ?? Number.NaN, u, { lower: null, upper: 100 });
    expectRelative(atLimit, risk, 1e-4);
    expect(atLimit).toBeLessThanOrEqual(printedBelow);
  });
});

describe('T04 acceptance limits with both tails, 95…105 g at 95 % (JCGM 106 7.4, computed, trust E)', () => {
  test.each([
    [0.5, 95.822427, 104.177573],
    [1, 96.644854, 103.355146],
    [2, 98.297533, 101.702467],
    [2.5, 99.490532, 100.509468],
    [2.55, 99.92621, 100.07379],
  ])('u = %f g accepts %f…%f g', (u, lower, upper) => {
    const zone = taken(
      acceptanceZone(
        { lower: 95, upper: 105, unit: 'g' },
        { expanded: 2 * u, k: 2, unit: 'g' },
        conformanceRule(0.95),
      ),
    );
    expectWithin(zone?.lower ?? Number.NaN, lower, 1e-6);
    expectWithin(zone?.upper ?? Number.NaN, upper, 1e-6);
  });

  test('u = 3 g: no acceptance zone, said in words, not a crash', () => {
    const judgement = taken(
      judge({
        quantity: 'mass',
        reading: { value: 100, unit: 'g' },
        band: { lower: 95, upper: 105, unit: 'g' },
        uncertainty: { expanded: 6, k: 2, unit: 'g' },
        rule: conformanceRule(0.95),
      }),
    );
    expect(judgement.acceptance).toBeNull();
    expect(judgement.margin).toBeNull();
    expect(judgement.sentence).toBe('no acceptance zone: this instrument cannot show it');
    expect(judgement.decision).toBe('conditional pass');
    expectWithin(judgement.conformance, 0.9044, 5e-5);
  });

  test.each([
    [104, 0.5, 95, 105, 0.97725],
    [105, 0.5, 95, 105, 0.5],
    [104, 2, 95, 105, 0.691459],
    [96, 1, 95, 105, 0.841345],
    [44.5, 0.3, 40, 45, 0.95221],
    [44.2, 0.5, 40, 45, 0.945201],
    [42.5, 1, 40, 45, 0.987581],
  ])('value %f with u %f in %f…%f conforms with %f', (value, u, lower, upper, expected) => {
    expectWithin(conformanceProbability(value, u, { lower, upper }), expected, 1e-6);
  });

  test('torque band 40…45 N.m, u 0.5: 40.822 427…44.177 573', () => {
    const zone = taken(
      acceptanceZone(
        { lower: 40, upper: 45, unit: 'N.m' },
        { expanded: 1, k: 2, unit: 'N.m' },
        conformanceRule(0.95),
      ),
    );
    expectWithin(zone?.lower ?? Number.NaN, 40.822427, 1e-6);
    expectWithin(zone?.upper ?? Number.NaN, 44.177573, 1e-6);
  });

  test('capability index 1 and value at the centre: 2Φ(2) − 1 = 0.954 500 (JCGM 106 7.6, trust E)', () => {
    expectWithin(conformanceProbability(100, 1, { lower: 98, upper: 102 }), 0.9545, 5e-7);
  });
});

describe('global risks of a resistor (JCGM 106:2012 9.5, results from memory and integrated apart, trust C)', () => {
  const { T, y0, u0, um, RC, RP, RC_simple, RP_simple, RC_wU, RP_wU } = decision.jcgm106_resistor;
  const [lower = 0, upper = 0] = T;
  const process = { mean: y0, standardDeviation: u0 };

  test.each([
    ['guard band of the example', 0.02, RC, RP],
    ['simple acceptance', 0, RC_simple, RP_simple],
    ['w = U', 2 * um, RC_wU, RP_wU],
  ])('%s', (_, guardBand, consumer, producer) => {
    const acceptance = { lower: lower + guardBand, upper: upper - guardBand };
    const risks = globalRisks(process, um, { lower, upper }, acceptance);
    expectWithin(risks.consumer, consumer, 1e-6);
    expectWithin(risks.producer, producer, 1e-6);
    expectWithin(risks.conforming, 0.9044193, 1e-6);
    expectWithin(risks.accepted, risks.conforming - risks.producer + risks.consumer, 1e-12);
  });
});
