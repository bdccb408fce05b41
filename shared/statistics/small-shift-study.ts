import type { ProcessStudy } from './process-study.ts';
import { cusumChart, type EwmaChart, ewmaChart } from './small-shift-chart.ts';

export const chartForms = ['individuals', 'ewma', 'cusum'] as const;
/** How readings are charted: one by one, or so that a small lasting shift shows. */
export type ChartForm = (typeof chartForms)[number];

/** Weight of the newest reading: 0.2 to 0.3 is usual (NIST/SEMATECH e-Handbook 6.3.2.4). */
export const ewmaWeight = 0.2;
/** Slack and limit in standard deviations, for a shift of one (NIST/SEMATECH e-Handbook 6.3.2.3). */
export const cusumSlack = 0.5;
export const cusumReach = 4;

/** The readings of a process as moving averages and as cumulated sums. */
export interface SmallShiftStudy {
  readonly ewma: EwmaChart & {
    /** Indices of averages outside the limits of their place. */
    readonly signals: readonly number[];
  };
  readonly cusum: {
    readonly high: readonly number[];
    readonly low: readonly number[];
    /** A sum above it is a signal. */
    readonly limit: number;
    readonly signals: readonly number[];
  };
}

/**
 * Charts that show a small lasting shift, about the mean of the readings with their spread by moving ranges. Null where
 * there are fewer than two readings or they never change.
 */
export function smallShiftStudy({ values, chart }: ProcessStudy): SmallShiftStudy | null {
  if (chart === null || !(chart.standardDeviation > 0)) return null;
  const { standardDeviation, individuals } = chart;
  const { centre } = individuals;
  const ewma = ewmaChart(values, { start: centre, standardDeviation, lambda: ewmaWeight });
  const limit = cusumReach * standardDeviation;
  const { high, low } = cusumChart(values, {
    target: centre,
    k: cusumSlack * standardDeviation,
    h: limit,
  });
  return {
    ewma: {
      ...ewma,
      signals: ewma.values.flatMap((value, index) => {
        const limits = ewma.limitsAt[index];
        return limits !== undefined && (value < limits.lower || value > limits.upper) ? [index] : [];
      }),
    },
    cusum: {
      high,
      low,
      limit,
      signals: high.flatMap((sum, index) => (sum > limit || (low[index] ?? 0) > limit ? [index] : [])),
    },
  };
}
