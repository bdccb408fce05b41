import type { ControlLimits } from './control-chart.ts';

/** Exponentially weighted moving averages with limits. */
export interface EwmaChart {
  readonly values: readonly number[];
  /** Limits that hold once the chart has settled. */
  readonly limits: ControlLimits;
  /** Limits for each value; narrower at the start. */
  readonly limitsAt: readonly ControlLimits[];
  /** Index of the first value outside its settled limits, from 0; `null` for none. */
  readonly firstSignal: number | null;
}

/**
 * EWMA chart: zᵢ = λ·xᵢ + (1 − λ)·zᵢ₋₁ from `start`, limits start ± width·s·√(λ/(2 − λ))
 * (NIST/SEMATECH e-Handbook 6.3.2.4).
 */
export function ewmaChart(
  readings: readonly number[],
  settings: {
    readonly start: number;
    readonly standardDeviation: number;
    readonly lambda: number;
    readonly width?: number;
  },
): EwmaChart {
  const { start, standardDeviation, lambda, width = 3 } = settings;
  const settled = width * standardDeviation * Math.sqrt(lambda / (2 - lambda));
  const around = (reach: number): ControlLimits => ({
    centre: start,
    lower: start - reach,
    upper: start + reach,
  });
  const values: number[] = [];
  for (const reading of readings) values.push(lambda * reading + (1 - lambda) * (values.at(-1) ?? start));
  const outside = values.findIndex((value) => Math.abs(value - start) > settled);
  return {
    values,
    limits: around(settled),
    limitsAt: values.map((_, index) => around(settled * Math.sqrt(1 - (1 - lambda) ** (2 * (index + 1))))),
    firstSignal: outside < 0 ? null : outside,
  };
}

/** Cumulated sums of deviations above and below the target. */
export interface CusumChart {
  readonly high: readonly number[];
  readonly low: readonly number[];
  /** Index of the first reading at which either sum exceeds `h`, from 0; `null` for none. */
  readonly firstSignal: number | null;
}

/**
 * Tabular CUSUM: Sₕ = max(0, Sₕ + x − target − k), Sₗ = max(0, Sₗ + target − k − x), signal above h
 * (NIST/SEMATECH e-Handbook 6.3.2.3). k and h in the unit of the readings.
 */
export function cusumChart(
  readings: readonly number[],
  settings: { readonly target: number; readonly k: number; readonly h: number },
): CusumChart {
  const { target, k, h } = settings;
  const high: number[] = [];
  const low: number[] = [];
  for (const reading of readings) {
    high.push(Math.max(0, (high.at(-1) ?? 0) + reading - target - k));
    low.push(Math.max(0, (low.at(-1) ?? 0) + target - k - reading));
  }
  const outside = high.findIndex((value, index) => value > h || (low[index] ?? 0) > h);
  return { high, low, firstSignal: outside < 0 ? null : outside };
}
