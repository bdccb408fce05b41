import { mean, sumOfSquares } from './descriptive.ts';
import { fisherUpperTail } from './distributions.ts';

/** One line of a table of variance. */
export interface VarianceLine {
  readonly sumOfSquares: number;
  readonly degreesOfFreedom: number;
  readonly meanSquare: number;
}

export function varianceLine(sum: number, degreesOfFreedom: number): VarianceLine {
  return { sumOfSquares: sum, degreesOfFreedom, meanSquare: sum / degreesOfFreedom };
}

export interface OneWayAnalysis {
  readonly between: VarianceLine;
  readonly within: VarianceLine;
  readonly f: number;
  /** Probability of an F as large when all groups have the same mean. */
  readonly p: number;
  /** Part of the variation that the groups explain, R². */
  readonly explained: number;
  readonly residualStandardDeviation: number;
}

/** One-way analysis of variance. Throws RangeError below two groups or without spare readings. */
export function oneWayAnalysis(groups: readonly (readonly number[])[]): OneWayAnalysis {
  const count = groups.reduce((sum, group) => sum + group.length, 0);
  if (groups.length < 2 || groups.some((group) => group.length === 0) || count <= groups.length) {
    throw new RangeError('an analysis of variance needs two groups and more readings than groups');
  }
  const grand = mean(groups.flat());
  const between = varianceLine(
    groups.reduce((sum, group) => sum + group.length * (mean(group) - grand) ** 2, 0),
    groups.length - 1,
  );
  const within = varianceLine(
    groups.reduce((sum, group) => sum + sumOfSquares(group), 0),
    count - groups.length,
  );
  const f = between.meanSquare / within.meanSquare;
  return {
    between,
    within,
    f,
    p: fisherUpperTail(f, between.degreesOfFreedom, within.degreesOfFreedom),
    explained: between.sumOfSquares / (between.sumOfSquares + within.sumOfSquares),
    residualStandardDeviation: Math.sqrt(within.meanSquare),
  };
}
