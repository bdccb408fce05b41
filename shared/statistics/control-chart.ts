import { controlConstants } from './control-constants.ts';
import { mean } from './descriptive.ts';

/** Centre line and control limits at three standard deviations. */
export interface ControlLimits {
  readonly centre: number;
  readonly lower: number;
  readonly upper: number;
}

/** Chart of individuals with its chart of moving ranges. */
export interface IndividualsChart {
  readonly individuals: ControlLimits;
  readonly movingRange: ControlLimits;
  readonly movingRanges: readonly number[];
  /** Within-process standard deviation: mean moving range over d2(2). */
  readonly standardDeviation: number;
}

/** Individuals and moving range of two (NIST/SEMATECH e-Handbook 6.3.2.2). Throws RangeError below two readings. */
export function individualsChart(values: readonly number[]): IndividualsChart {
  if (values.length < 2) throw new RangeError('a chart of individuals needs at least two readings');
  const { d2, D3, D4 } = controlConstants(2);
  const movingRanges = values.slice(1).map((value, index) => Math.abs(value - (values[index] ?? value)));
  const meanRange = mean(movingRanges);
  const centre = mean(values);
  const standardDeviation = meanRange / d2;
  return {
    individuals: {
      centre,
      lower: centre - 3 * standardDeviation,
      upper: centre + 3 * standardDeviation,
    },
    movingRange: { centre: meanRange, lower: D3 * meanRange, upper: D4 * meanRange },
    movingRanges,
    standardDeviation,
  };
}

/** Charts of subgroup means and ranges. */
export interface MeanAndRangeChart {
  readonly means: readonly number[];
  readonly ranges: readonly number[];
  readonly mean: ControlLimits;
  readonly range: ControlLimits;
  /** Within-subgroup standard deviation: mean range over d2. */
  readonly standardDeviation: number;
}

/** X-bar and R chart of equal subgroups of 2 to 10 readings. Throws RangeError for other shapes. */
export function meanAndRangeChart(subgroups: readonly (readonly number[])[]): MeanAndRangeChart {
  const size = subgroups[0]?.length ?? 0;
  if (subgroups.some((subgroup) => subgroup.length !== size)) {
    throw new RangeError('subgroups must have the same number of readings');
  }
  const { d2, A2, D3, D4 } = controlConstants(size);
  const means = subgroups.map((subgroup) => mean(subgroup));
  const ranges = subgroups.map((subgroup) => Math.max(...subgroup) - Math.min(...subgroup));
  const meanRange = mean(ranges);
  const centre = mean(means);
  return {
    means,
    ranges,
    mean: { centre, lower: centre - A2 * meanRange, upper: centre + A2 * meanRange },
    range: { centre: meanRange, lower: D3 * meanRange, upper: D4 * meanRange },
    standardDeviation: meanRange / d2,
  };
}
