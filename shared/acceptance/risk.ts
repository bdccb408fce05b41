import { normalCdf, normalDensity, normalInterval } from '../statistics/normal.ts';
import { conformanceProbability, type Limits } from './conformance.ts';

/** What a process makes: normal about `mean`. */
export interface Process {
  readonly mean: number;
  readonly standardDeviation: number;
}

export interface GlobalRisks {
  /** Probability that the next item does not conform and is accepted all the same. */
  readonly consumer: number;
  /** Probability that the next item conforms and is rejected. */
  readonly producer: number;
  /** Probability that the next item conforms. */
  readonly conforming: number;
  /** Probability that the next item is accepted. */
  readonly accepted: number;
}

/**
 * Global consumer's and producer's risk of a decision rule for a normal process, measured with a normal
 * standard uncertainty `u`, all in one unit (JCGM 106:2012, 9.5). Integrated over the true value.
 */
export function globalRisks(process: Process, u: number, tolerance: Limits, acceptance: Limits): GlobalRisks {
  const { mean, standardDeviation } = process;
  const acceptedAt = (truth: number) => conformanceProbability(truth, u, acceptance);
  const lower = tolerance.lower ?? Number.NEGATIVE_INFINITY;
  const upper = tolerance.upper ?? Number.POSITIVE_INFINITY;
  const reach = 12 * standardDeviation; // beyond 12 standard deviations the density is below 1e-32
  const below = weigh(process, u, acceptedAt, mean - reach, Math.min(lower, mean + reach));
  const above = weigh(process, u, acceptedAt, Math.max(upper, mean - reach), mean + reach);
  const inside = weigh(process, u, acceptedAt, Math.max(lower, mean - reach), Math.min(upper, mean + reach));
  const conforming = normalInterval((lower - mean) / standardDeviation, (upper - mean) / standardDeviation);
  const rejectedInside = weigh(
    process,
    u,
    (truth) => rejectionProbability(truth, u, acceptance),
    Math.max(lower, mean - reach),
    Math.min(upper, mean + reach),
  );
  return { consumer: below + above, producer: rejectedInside, conforming, accepted: below + inside + above };
}

function rejectionProbability(truth: number, u: number, { lower, upper }: Limits): number {
  const below = lower === null ? 0 : normalCdf((lower - truth) / u);
  const above = upper === null ? 0 : normalCdf((truth - upper) / u);
  return below + above;
}

// Abscissae and weights of 8-point Gauss-Legendre quadrature; Abramowitz and Stegun, Table 25.4.
const abscissae = [0.1834346424956498, 0.525532409916329, 0.7966664774136267, 0.9602898564975363];
const weights = [0.362683783378362, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763];

/** ∫ density(truth) · f(truth) from `from` to `to`, in panels narrower than either spread. */
function weigh(
  { mean, standardDeviation }: Process,
  u: number,
  f: (truth: number) => number,
  from: number,
  to: number,
): number {
  if (!(to > from)) return 0;
  const panels = Math.min(20_000, Math.max(1, Math.ceil((to - from) / (Math.min(u, standardDeviation) / 2))));
  const halfWidth = (to - from) / panels / 2;
  const density = (truth: number) => normalDensity((truth - mean) / standardDeviation) / standardDeviation;
  let sum = 0;
  for (let panel = 0; panel < panels; panel += 1) {
    const centre = from + (2 * panel + 1) * halfWidth;
    for (const [index, abscissa] of abscissae.entries()) {
      const weight = weights[index] ?? 0;
      for (const truth of [centre - abscissa * halfWidth, centre + abscissa * halfWidth]) {
        sum += weight * density(truth) * f(truth);
      }
    }
  }
  return sum * halfWidth;
}
