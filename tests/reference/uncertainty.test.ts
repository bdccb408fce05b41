import { describe, expect, test } from 'vitest';
import { evaluateBudget } from '../../shared/acceptance/budget.ts';
import { type Contribution, degreesOfFreedomOfReliability } from '../../shared/acceptance/contribution.ts';
import { coverageFactor } from '../../shared/statistics/distributions.ts';
import { logGamma } from '../../shared/statistics/gamma.ts';
import checkValues from '../fixtures/check-values.json' with { type: 'json' };
import { expectWithin, taken } from './nearness.ts';

const { uncertainty } = checkValues.public;
const rectangle = (name: string, halfWidth: number, unit: string): Contribution => ({
  kind: 'rectangular',
  halfWidth,
  name,
  cause: 'other',
  unit,
});

describe('T05 10 kg weight of class M1 (EA-4/02 example S2, budget read and recomputed, trust A)', () => {
  const budget = taken(
    evaluateBudget(
      [
        {
          kind: 'normal',
          expanded: 45,
          k: 2,
          unit: 'mg',
          name: 'standard',
          cause: 'certificate',
          estimate: 10_000_005,
        },
        rectangle('drift', 15, 'mg'),
        {
          kind: 'typeA',
          standardDeviation: 0.025,
          n: 3,
          unit: 'g',
          name: 'difference',
          cause: 'repeatability',
          estimate: 0.02,
        },
        rectangle('eccentricity and magnetism', 10, 'mg'),
        rectangle('air buoyancy', 10, 'mg'),
      ],
      'g',
      { k: 2 },
    ),
  );

  test('u_c 29.26 mg, U 58.5 mg, result 10 000.025 g', () => {
    expectWithin(budget.combined * 1000, uncertainty.EA402_S2.uc_mg, 0.15);
    expectWithin(budget.expanded * 1000, uncertainty.EA402_S2.U_k2_mg, 0.6);
    expect(budget.value).toBe(10_000.025);
  });

  test('each standard uncertainty as in the table', () => {
    const { standard, drift, difference, eccentricity_magnetic, buoyancy } = uncertainty.EA402_S2.u_mg;
    const expected = [standard, drift, difference, eccentricity_magnetic, buoyancy];
    budget.contributions.forEach((line, index) => {
      expectWithin(line.contribution * 1000, expected[index]!, 0.005);
    });
  });

  test('shares of the variance as on the page, to a percent', () => {
    const printed = [59.6, 8.8, 23.7, 3.9, 3.9];
    budget.contributions.forEach((line, index) => {
      expectWithin(line.share * 100, printed[index]!, 0.7);
    });
  });
});

describe('T06 effective degrees of freedom and coverage factors', () => {
  test('end-gauge example: ν 16.7, k₉₉ 2.92, U₉₉ 93 nm (GUM H.1.6, from memory, trust C)', () => {
    const { u_nm, nu } = uncertainty.GUM_H1;
    const budget = taken(
      evaluateBudget(
        u_nm.map(
          (u, index): Contribution => ({
            kind: 'standard',
            u,
            degreesOfFreedom: nu[index],
            name: `input ${index}`,
            cause: 'other',
            unit: 'nm',
          }),
        ),
        'nm',
        { coverageProbability: 0.99 },
      ),
    );
    expectWithin(budget.combined, 31.67, 0.01);
    expectWithin(budget.degreesOfFreedom ?? Number.NaN, 16.7, 0.1);
    expectWithin(budget.k, 2.9208, 5e-5);
    expectWithin(budget.expanded, 93, 0.7);
  });

  test('every factor of the t table (GUM Table G.2, printed and computed, trust A)', () => {
    for (const [freedom, row] of Object.entries(uncertainty.t_table)) {
      for (const [probability, k] of Object.entries(row)) {
        // The GUM heads its columns 68.27, 95.45 and 99.73 %.
        const computed = coverageFactor(Number(probability), freedom === 'inf' ? null : Number(freedom));
        expectWithin(computed, k, 6e-5);
      }
    }
  });

  test.each([
    [1, 13.967811487503],
    [4, 2.869315169696],
    [8, 2.366419499743],
    [16, 2.168942995677],
    [30, 2.086847053537],
  ])('95.45 per cent at ν = %i is %f to ten digits (computed, trust E)', (freedom, k) => {
    expectWithin(coverageFactor(0.9545, freedom), k, 1e-10);
  });

  test('a standard deviation of few readings is itself uncertain (GUM Table E.1; n = 30 read, trust A; others C)', () => {
    for (const [text, percent] of Object.entries(uncertainty.GUM_E1_rel_sd_of_s_percent)) {
      const n = Number(text);
      const c4 = Math.sqrt(2 / (n - 1)) * Math.exp(logGamma(n / 2) - logGamma((n - 1) / 2));
      expectWithin((100 * Math.sqrt(1 - c4 * c4)) / c4, percent, 0.06);
    }
  });

  test('known to 25 % means 8 degrees of freedom (GUM G.4.2, trust C)', () => {
    expect(degreesOfFreedomOfReliability(0.25)).toBe(8);
  });
});

describe('constructed budgets (computed, trust E)', () => {
  test('step of 0.1: 0.028 868; two readings: 0.040 825 (GUM F.2.2.1)', () => {
    const step = (readings: number): Contribution => ({
      kind: 'resolution',
      resolution: 0.1,
      readings,
      name: 'step',
      cause: 'resolution',
      unit: 'g',
    });
    expectWithin(taken(evaluateBudget([step(1)], 'g')).combined, uncertainty.resolution['d=0.1'], 1e-15);
    expectWithin(
      taken(evaluateBudget([step(2)], 'g')).combined,
      uncertainty.resolution['net_of_two_readings_d=0.1'],
      1e-15,
    );
  });

  test('torque: 42 N.m, ± 4 %, step 0.1, s 0.3 of 5 gives U 1.959 218 and ν 11 369', () => {
    const budget = taken(
      evaluateBudget(
        [
          rectangle('permissible error', 0.04 * 42, 'N.m'),
          { kind: 'resolution', resolution: 0.1, name: 'step', cause: 'resolution', unit: 'N.m' },
          {
            kind: 'typeA',
            standardDeviation: 0.3,
            n: 5,
            name: 'scatter',
            cause: 'repeatability',
            unit: 'N.m',
          },
        ],
        'N.m',
        { k: 2 },
      ),
    );
    expectWithin(budget.combined, 0.979609, 5e-7);
    expectWithin(budget.expanded, 1.959218, 1e-6);
    expectWithin(budget.degreesOfFreedom ?? Number.NaN, 11_369, 1);
  });

  test('net mass: step 0.1 twice, ± 0.1 rectangular, s 0.05 gives U 0.173 205 g', () => {
    const budget = taken(
      evaluateBudget(
        [
          { kind: 'resolution', resolution: 0.1, readings: 2, name: 'steps', cause: 'resolution', unit: 'g' },
          rectangle('permissible error', 0.1, 'g'),
          { kind: 'standard', u: 0.05, name: 'scatter', cause: 'repeatability', unit: 'g' },
        ],
        'g',
        { k: 2 },
      ),
    );
    expectWithin(budget.combined, 0.086603, 5e-7);
    expectWithin(budget.expanded, 0.173205, 5e-7);
  });
});
