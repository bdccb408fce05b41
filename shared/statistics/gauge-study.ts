import { ok, type Result, refuse } from '../result.ts';
import { type VarianceLine, varianceLine } from './analysis-of-variance.ts';
import { mean, sumOfSquares } from './descriptive.ts';
import { fisherUpperTail } from './distributions.ts';

export interface GaugeReading {
  readonly part: string;
  readonly operator: string;
  readonly value: number;
}

export interface GaugeComponent {
  readonly variance: number;
  readonly standardDeviation: number;
  /** Standard deviation in percent of the total. */
  readonly percentOfStudy: number;
  /** Variance in percent of the total. */
  readonly percentContribution: number;
}

export type GaugeSource = 'repeatability' | 'reproducibility' | 'measurementSystem' | 'part' | 'total';

/** Gauge repeatability and reproducibility by analysis of variance, parts and operators crossed. */
export interface GaugeStudy {
  readonly lines: {
    readonly part: VarianceLine;
    readonly operator: VarianceLine;
    readonly interaction: VarianceLine;
    readonly repeatability: VarianceLine;
  };
  readonly interactionF: number;
  readonly interactionP: number;
  /** True where the interaction was found to be noise (p above `poolAbove`) and pooled with repeatability. */
  readonly pooled: boolean;
  readonly components: Readonly<Record<GaugeSource, GaugeComponent>>;
  /** Number of distinct categories: 1.41 · part over measurement system, cut. */
  readonly distinctCategories: number;
  /** 6 · measurement system over the tolerance, in percent; `null` without tolerance. */
  readonly percentOfTolerance: number | null;
}

/**
 * Evaluates a balanced study. The interaction is pooled where its p-value lies above `poolAbove` (0.25 unless
 * given, common practice). Refuses studies that are not balanced or too small.
 */
export function gaugeStudy(
  readings: readonly GaugeReading[],
  options: { readonly tolerance?: number; readonly poolAbove?: number } = {},
): Result<GaugeStudy> {
  const parts = [...new Set(readings.map(({ part }) => part))];
  const operators = [...new Set(readings.map(({ operator }) => operator))];
  const cells = parts.map((part) =>
    operators.map((operator) =>
      readings
        .filter((reading) => reading.part === part && reading.operator === operator)
        .map(({ value }) => value),
    ),
  );
  const trials = cells[0]?.[0]?.length ?? 0;
  if (parts.length < 2 || operators.length < 2 || trials < 2) {
    return refuse('study_too_small', 'readings', 'need at least 2 parts, 2 operators and 2 trials each');
  }
  if (cells.flat().some((cell) => cell.length !== trials)) {
    return refuse(
      'study_not_balanced',
      'readings',
      'must hold every part as often for every operator; complete the study',
    );
  }
  const lines = linesOf(cells, parts.length, operators.length, trials);
  const interactionF = lines.interaction.meanSquare / lines.repeatability.meanSquare;
  const interactionP = fisherUpperTail(
    interactionF,
    lines.interaction.degreesOfFreedom,
    lines.repeatability.degreesOfFreedom,
  );
  const pooled = interactionP > (options.poolAbove ?? 0.25);
  const variances = variancesOf(lines, pooled, parts.length, operators.length, trials);
  if (!(variances.total > 0)) {
    return refuse('no_variation', 'readings', 'are all alike; the study says nothing about the instrument');
  }
  const component = (variance: number): GaugeComponent => ({
    variance,
    standardDeviation: Math.sqrt(variance),
    percentOfStudy: 100 * Math.sqrt(variance / variances.total),
    percentContribution: (100 * variance) / variances.total,
  });
  const spread = Math.sqrt(variances.measurementSystem);
  return ok({
    lines,
    interactionF,
    interactionP,
    pooled,
    components: {
      repeatability: component(variances.repeatability),
      reproducibility: component(variances.reproducibility),
      measurementSystem: component(variances.measurementSystem),
      part: component(variances.part),
      total: component(variances.total),
    },
    distinctCategories: Math.floor((1.41 * Math.sqrt(variances.part)) / spread),
    percentOfTolerance: options.tolerance === undefined ? null : (100 * 6 * spread) / options.tolerance,
  });
}

function linesOf(
  cells: readonly (readonly (readonly number[])[])[],
  parts: number,
  operators: number,
  trials: number,
): GaugeStudy['lines'] {
  const all = cells.flat(2);
  const grand = mean(all);
  const squareAround = (values: readonly number[], weight: number) =>
    weight * values.reduce((sum, value) => sum + (value - grand) ** 2, 0);
  const partMeans = cells.map((row) => mean(row.flat()));
  const operatorMeans = Array.from({ length: operators }, (_, index) =>
    mean(cells.flatMap((row) => row[index] ?? [])),
  );
  const part = squareAround(partMeans, operators * trials);
  const operator = squareAround(operatorMeans, parts * trials);
  const cellMeans = squareAround(cells.flat().map(mean), trials);
  const repeatability = cells.flat().reduce((sum, cell) => sum + sumOfSquares(cell), 0);
  return {
    part: varianceLine(part, parts - 1),
    operator: varianceLine(operator, operators - 1),
    interaction: varianceLine(cellMeans - part - operator, (parts - 1) * (operators - 1)),
    repeatability: varianceLine(repeatability, parts * operators * (trials - 1)),
  };
}

/** Variance components from expected mean squares; an estimate below zero counts as zero. */
function variancesOf(
  { part, operator, interaction, repeatability }: GaugeStudy['lines'],
  pooled: boolean,
  parts: number,
  operators: number,
  trials: number,
) {
  const noise = pooled
    ? (interaction.sumOfSquares + repeatability.sumOfSquares) /
      (interaction.degreesOfFreedom + repeatability.degreesOfFreedom)
    : repeatability.meanSquare;
  const reference = pooled ? noise : interaction.meanSquare;
  const crossed = pooled ? 0 : Math.max(0, (interaction.meanSquare - noise) / trials);
  const byOperator = Math.max(0, (operator.meanSquare - reference) / (parts * trials));
  const byPart = Math.max(0, (part.meanSquare - reference) / (operators * trials));
  const reproducibility = byOperator + crossed;
  const measurementSystem = noise + reproducibility;
  return {
    repeatability: noise,
    reproducibility,
    measurementSystem,
    part: byPart,
    total: measurementSystem + byPart,
  };
}
