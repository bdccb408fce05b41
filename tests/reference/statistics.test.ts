import { describe, expect, test } from 'vitest';
import { oneWayAnalysis } from '../../shared/statistics/analysis-of-variance.ts';
import { capability } from '../../shared/statistics/capability.ts';
import { individualsChart } from '../../shared/statistics/control-chart.ts';
import { controlConstants } from '../../shared/statistics/control-constants.ts';
import {
  addReading,
  lagOneAutocorrelation,
  mean,
  noReadings,
  runningStandardDeviation,
  standardDeviation,
} from '../../shared/statistics/descriptive.ts';
import { type GaugeReading, gaugeStudy } from '../../shared/statistics/gauge-study.ts';
import { normalCdf } from '../../shared/statistics/normal.ts';
import { runSignals } from '../../shared/statistics/run-rules.ts';
import { cusumChart, ewmaChart } from '../../shared/statistics/small-shift-chart.ts';
import checkValues from '../fixtures/check-values.json' with { type: 'json' };
import { expectRelative, expectWithin, taken } from './nearness.ts';

const { spc } = checkValues.public;

describe('T12 individuals chart (NIST e-Handbook 6.3.2.2 as quoted in open tests, trust A)', () => {
  const {
    x,
    mean: centre,
    MRbar,
    UCL_printed,
    LCL_printed,
    UCL_exact_d2,
    LCL_exact_d2,
  } = spc.individuals_NIST_6322;
  const chart = individualsChart(x);

  test('mean 50.81, mean moving range 1.8778, limits 45.8159…55.8041', () => {
    expectWithin(chart.individuals.centre, centre, 1e-12);
    expectWithin(chart.movingRange.centre, MRbar, 5e-7);
    expectWithin(chart.individuals.upper, UCL_printed, 0.002);
    expectWithin(chart.individuals.lower, LCL_printed, 0.002);
  });

  test('with the exact d2 the limits are right to the sixth decimal', () => {
    expectWithin(chart.individuals.upper, UCL_exact_d2, 5e-7);
    expectWithin(chart.individuals.lower, LCL_exact_d2, 5e-7);
    expectWithin(chart.movingRange.upper, 6.1347, 0.002);
  });
});

describe('T13 capability (NIST e-Handbook 6.1.6 as quoted, trust A)', () => {
  const estimate = { mean: 16, standardDeviation: 2, count: 50, degreesOfFreedom: 49 };

  test('8…20 with mean 16 and s 2: Cp 1, Cpk 0.6667, upper 0.6667, lower 1.3333, off centre 0.3333', () => {
    const { Cp, Cpk, Cpu, Cpl, k } = spc.capability_NIST_616;
    const found = capability(estimate, { lower: 8, upper: 20 });
    expectWithin(found.spread?.value ?? Number.NaN, Cp, 1e-12);
    expectWithin(found.worst.value, Cpk, 1e-6);
    expectWithin(found.upper ?? Number.NaN, Cpu, 1e-6);
    expectWithin(found.lower ?? Number.NaN, Cpl, 1e-6);
    expectWithin(found.offCentre ?? Number.NaN, k, 1e-6);
  });

  test.each([
    [50, 0.5056, 0.8278],
    [100, 0.5531, 0.7802],
  ])('interval of Cpk for n = %i (formula read, numbers computed, trust E)', (count, lower, upper) => {
    const found = capability({ ...estimate, count, degreesOfFreedom: count - 1 }, { lower: 8, upper: 20 });
    expectWithin(found.worst.interval?.lower ?? Number.NaN, lower, 5e-5);
    expectWithin(found.worst.interval?.upper ?? Number.NaN, upper, 5e-5);
  });
});

describe('T14 control chart constants (computed; printed tables citing ASTM E2587 agree, trust A)', () => {
  test.each(Object.entries(spc.constants))('subgroups of %s', (n, row) => {
    const { d2, d3, c4, A2, A3, D3, D4, B3, B4 } = controlConstants(Number(n));
    const found: Readonly<Record<string, number>> = { d2, d3, c4, A2, A3, D3, D4, B3, B4 };
    for (const [name, expected] of Object.entries(row)) expectWithin(found[name]!, expected, 1e-6);
  });

  test('closed forms: d2(2) = 2/√π, d3(2) = √(2 − 4/π), d2(3) = 3/√π, and the factor 2.66', () => {
    expectWithin(controlConstants(2).d2, 2 / Math.sqrt(Math.PI), 1e-10);
    expectWithin(controlConstants(2).d3, Math.sqrt(2 - 4 / Math.PI), 1e-10);
    expectWithin(controlConstants(3).d2, 3 / Math.sqrt(Math.PI), 1e-10);
    expectWithin(3 / controlConstants(2).d2, spc.E2, 1e-6);
  });

  test('d2 follows from the distribution of the range, integrated here', () => {
    for (const n of [2, 4, 5, 7, 10]) {
      // d2 = ∫ 1 − Φ(x)ⁿ − (1 − Φ(x))ⁿ dx (Tippett 1925), trapezoids: the ends vanish.
      const step = 0.01;
      let sum = 0;
      for (let x = -9; x <= 9; x += step) sum += step * (1 - normalCdf(x) ** n - normalCdf(-x) ** n);
      expectWithin(controlConstants(n).d2, sum, 1e-9);
    }
  });

  test('a chart at three standard deviations gives a false alarm every 370.398 readings (trust C)', () => {
    expectWithin(1 / (2 * normalCdf(-3)), 370.398, 5e-4);
  });
});

describe('T15 NIST StRD univariate (data and certified values in stored test code, trust A)', () => {
  const pairs = (first: number, low: number, high: number) => [
    first,
    ...Array.from({ length: 500 }, () => [low, high]).flat(),
  ];
  const { strd } = spc;
  test.each([
    ['Mavro', strd.Mavro.data.map(Number), strd.Mavro, 1e-13, 1e-12, 1e-11],
    ['Lew', strd.Lew.data, strd.Lew, 1e-13, 1e-13, 1e-12],
    ['Lottery', strd.Lottery.data, strd.Lottery, 1e-13, 1e-13, 1e-12],
    ['NumAcc1', strd.NumAcc1.data, strd.NumAcc1, 0, 0, 0],
    ['NumAcc2', pairs(1.2, 1.1, 1.3), strd.NumAcc2, 1e-13, 1e-12, 1e-9],
    ['NumAcc3', pairs(1_000_000.2, 1_000_000.1, 1_000_000.3), strd.NumAcc3, 1e-13, 1e-9, 1e-9],
  ] as const)('%s', (_, data, certified, forMean, forDeviation, forLag) => {
    expect(data).toHaveLength(certified.n);
    expectRelative(mean(data), Number(certified.mean), forMean);
    expectRelative(standardDeviation(data), Number(certified.sd), forDeviation);
    expectRelative(lagOneAutocorrelation(data), Number(certified.r1), forLag);
    const running = data.reduce(addReading, noReadings);
    expectRelative(running.mean, Number(certified.mean), 1e-13);
    expectRelative(runningStandardDeviation(running) ?? Number.NaN, Number(certified.sd), 1e-9);
  });
});

describe('T16 gauge study and analysis of variance', () => {
  const readings: GaugeReading[] = Object.entries(spc.gauge_rr.data).flatMap(([operator, trials]) =>
    trials.flatMap((trial) => trial.map((value, part) => ({ operator, part: String(part + 1), value }))),
  );

  test('10 parts, 3 operators, 3 trials: the published table, interaction pooled (trust A, raw data from memory)', () => {
    const study = taken(gaugeStudy(readings, { tolerance: 8 }));
    const { MS, F_interaction, reduced_model } = spc.gauge_rr;
    expectWithin(study.lines.part.meanSquare, MS.part, 1e-6);
    expectWithin(study.lines.operator.meanSquare, MS.operator, 1e-6);
    expectWithin(study.lines.interaction.meanSquare, MS.interaction, 1e-6);
    expectWithin(study.lines.repeatability.meanSquare, MS.repeatability, 1e-6);
    expectWithin(study.interactionF, F_interaction, 1e-6);
    expect(study.pooled).toBe(true);
    const { components } = study;
    expectWithin(components.repeatability.standardDeviation, reduced_model.sd.repeatability, 1e-6);
    expectWithin(components.reproducibility.standardDeviation, reduced_model.sd.reproducibility, 1e-6);
    expectWithin(components.measurementSystem.standardDeviation, reduced_model.sd.grr, 1e-6);
    expectWithin(components.part.standardDeviation, reduced_model.sd.part, 1e-6);
    expectWithin(components.total.standardDeviation, reduced_model.sd.total, 1e-6);
    expectWithin(components.measurementSystem.percentOfStudy, reduced_model.pct_study_var.grr, 0.005);
    expectWithin(components.measurementSystem.percentContribution, reduced_model.pct_contribution_grr, 0.005);
    expect(study.distinctCategories).toBe(reduced_model.ndc);
    expectWithin(study.percentOfTolerance ?? Number.NaN, reduced_model.pct_tolerance_8, 0.005);
  });

  test('SiRstv (NIST StRD ANOVA, certified values, trust A)', () => {
    const { data, F, R2, residual_sd, SSB, SSW } = spc.sirstv;
    const found = oneWayAnalysis(Object.values(data));
    expectRelative(found.f, F, 1e-9);
    expectRelative(found.explained, R2, 1e-9);
    expectRelative(found.residualStandardDeviation, residual_sd, 1e-9);
    expectRelative(found.between.sumOfSquares, SSB, 1e-8);
    expectRelative(found.within.sumOfSquares, SSW, 1e-8);
  });
});

describe('T17 small shifts and run rules', () => {
  test('EWMA: 20 values and limits 47.4115…52.5884 (NIST e-Handbook 6.3.2.4 as quoted, trust A)', () => {
    const { x, lambda, start, s, values, UCL, LCL } = spc.ewma_NIST_6324;
    const chart = ewmaChart(x, { start, standardDeviation: s, lambda });
    chart.values.forEach((value, index) => {
      expectWithin(value, values[index]!, 0.005);
    });
    expectWithin(chart.limits.upper, UCL, 1e-4);
    expectWithin(chart.limits.lower, LCL, 1e-4);
    expect(chart.firstSignal).toBeNull();
  });

  test('CUSUM: first signal at observation 14, 4.94, then 19.035 at 20 (NIST e-Handbook 6.3.2.3 as quoted, trust A)', () => {
    const { x, target, k, h, first_signal_index_1based, Shi_at_14, Shi_at_20 } = spc.cusum_NIST_6323;
    const chart = cusumChart(x, { target, k, h });
    expect((chart.firstSignal ?? Number.NaN) + 1).toBe(first_signal_index_1based);
    expectWithin(chart.high[13]!, Shi_at_14, 0.005);
    expectWithin(chart.high[19]!, Shi_at_20, 0.0005);
  });

  test.each([
    ['2 of 3 on the same side', [0.1, 2.1, 0.3, 2.2], 'Western Electric', 4],
    ['2 of 3 but on both sides', [2.1, -2.1, 0], 'Western Electric', null],
    ['4 of 5 beyond one', [1.1, 1.2, 0.2, 1.3, 1.4], 'Western Electric', 5],
    ['8 on one side', Array.from({ length: 8 }, () => 0.1), 'Western Electric', 8],
    ['8 on one side is not yet a signal there', Array.from({ length: 8 }, () => 0.1), 'Nelson', null],
    ['9 on one side', Array.from({ length: 9 }, () => 0.1), 'Nelson', 9],
    ['exactly on two is not beyond', [2, 2, 2], 'Western Electric', null],
    ['one beyond three', [0, -3.01], 'Western Electric', 2],
    ['six rising', [-0.2, -0.1, 0, 0.1, 0.2, 0.3], 'Nelson', 6],
    [
      'fourteen alternating',
      Array.from({ length: 14 }, (_, index) => (index % 2 === 0 ? 0.4 : -0.4)),
      'Nelson',
      14,
    ],
    [
      'fifteen within one',
      Array.from({ length: 15 }, (_, index) => [0.1, -0.2, -0.15][index % 3]!),
      'Nelson',
      15,
    ],
    ['eight outside one on both sides', [1.1, -1.2, -1.3, 1.4, 1.2, -1.1, -1.5, 1.3], 'Nelson', 8],
  ] as const)('%s (wording read, sequences constructed, trust B/E)', (_, scores, set, signalAt) => {
    const first = runSignals(scores, set)[0];
    expect(first === undefined ? null : first.index + 1).toBe(signalAt);
  });
});
