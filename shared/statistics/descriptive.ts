/**
 * Arithmetic mean: a compensated sum (Neumaier), then the mean of what is left over, so that large offsets do
 * not eat the digits. Throws RangeError for no readings.
 */
export function mean(values: readonly number[]): number {
  if (values.length === 0) throw new RangeError('the mean of no readings is not defined');
  const rough = compensatedSum(values) / values.length;
  return rough + compensatedSum(values.map((value) => value - rough)) / values.length;
}

function compensatedSum(values: readonly number[]): number {
  let sum = 0;
  let lost = 0;
  for (const value of values) {
    const next = sum + value;
    lost += Math.abs(sum) >= Math.abs(value) ? sum - next + value : value - next + sum;
    sum = next;
  }
  return sum + lost;
}

/** Sum of squared deviations from the mean, in two passes with the correction of Chan, Golub and LeVeque. */
export function sumOfSquares(values: readonly number[]): number {
  const centre = mean(values);
  const deviations = values.map((value) => value - centre);
  const leftOver = compensatedSum(deviations);
  return compensatedSum(deviations.map((value) => value * value)) - (leftOver * leftOver) / values.length;
}

/** Sample standard deviation, divisor n − 1. Throws RangeError for fewer than two readings. */
export function standardDeviation(values: readonly number[]): number {
  if (values.length < 2) throw new RangeError('a standard deviation needs at least two readings');
  return Math.sqrt(sumOfSquares(values) / (values.length - 1));
}

/** Lag-1 autocorrelation coefficient r₁ = Σ(xᵢ − x̄)(xᵢ₋₁ − x̄)/Σ(xᵢ − x̄)² (NIST StRD). */
export function lagOneAutocorrelation(values: readonly number[]): number {
  const centre = mean(values);
  const deviations = values.map((value) => value - centre);
  const products = deviations.slice(1).map((value, index) => value * (deviations[index] ?? 0));
  return compensatedSum(products) / sumOfSquares(values);
}

/** Mean and spread of a stream of readings, kept up to date one by one (Welford). */
export interface RunningStatistics {
  readonly count: number;
  readonly mean: number;
  /** Sum of squared deviations from the mean. */
  readonly squares: number;
}

export const noReadings: RunningStatistics = { count: 0, mean: 0, squares: 0 };

/** The statistics with one more reading. */
export function addReading(statistics: RunningStatistics, value: number): RunningStatistics {
  const count = statistics.count + 1;
  const difference = value - statistics.mean;
  const nextMean = statistics.mean + difference / count;
  return { count, mean: nextMean, squares: statistics.squares + difference * (value - nextMean) };
}

/** Sample standard deviation of a stream; `null` before the second reading. */
export function runningStandardDeviation({ count, squares }: RunningStatistics): number | null {
  return count < 2 ? null : Math.sqrt(squares / (count - 1));
}
