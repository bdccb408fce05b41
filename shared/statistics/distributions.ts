import { incompleteBeta, incompleteGamma } from './gamma.ts';
import { normalQuantile } from './normal.ts';

/**
 * Root of an increasing function that is `target` between `low` and `high`, by bisection to the last bit that
 * matters: robust where Newton's method would leave the range.
 */
function solveIncreasing(f: (x: number) => number, target: number, low: number, high: number): number {
  let least = low;
  let most = high;
  for (let step = 0; step < 300; step += 1) {
    const middle = least + (most - least) / 2;
    if (middle <= least || middle >= most) break;
    if (f(middle) < target) least = middle;
    else most = middle;
  }
  return least + (most - least) / 2;
}

/** An upper end where an increasing function has passed the target. */
function bracket(f: (x: number) => number, target: number, start: number): number {
  let high = start;
  while (f(high) < target && high < 1e300) high *= 2;
  return high;
}

/** P(|T| > t) for Student's T with ν degrees of freedom, t ≥ 0; ν need not be whole. */
export function studentTwoSidedTail(t: number, degreesOfFreedom: number): number {
  const square = t * t;
  const sum = degreesOfFreedom + square;
  return incompleteBeta(degreesOfFreedom / 2, 0.5, degreesOfFreedom / sum, square / sum);
}

/**
 * Coverage factor k with P(|T| ≤ k) = probability for Student's T (GUM G.3, Table G.2). `null` degrees of
 * freedom are infinitely many: the normal distribution. Throws RangeError outside 0 < probability < 1, ν > 0.
 */
export function coverageFactor(probability: number, degreesOfFreedom: number | null): number {
  if (!(probability > 0 && probability < 1)) {
    throw new RangeError(`a coverage probability lies between 0 and 1, not ${probability}`);
  }
  if (degreesOfFreedom === null || degreesOfFreedom === Number.POSITIVE_INFINITY) {
    return -normalQuantile((1 - probability) / 2);
  }
  if (!(degreesOfFreedom > 0))
    throw new RangeError(`degrees of freedom are above 0, not ${degreesOfFreedom}`);
  const tail = 1 - probability;
  const inside = (t: number) => -studentTwoSidedTail(t, degreesOfFreedom);
  return solveIncreasing(inside, -tail, 0, bracket(inside, -tail, 1));
}

/** The t with P(T ≤ t) = p for Student's T. */
export function studentQuantile(p: number, degreesOfFreedom: number): number {
  if (p === 0.5) return 0;
  return p > 0.5
    ? coverageFactor(1 - 2 * (1 - p), degreesOfFreedom)
    : -coverageFactor(1 - 2 * p, degreesOfFreedom);
}

/** P(X ≤ x) for chi-square with ν degrees of freedom. */
export function chiSquareCdf(x: number, degreesOfFreedom: number): number {
  return incompleteGamma(degreesOfFreedom / 2, x / 2);
}

/** The x with P(X ≤ x) = p for chi-square. */
export function chiSquareQuantile(p: number, degreesOfFreedom: number): number {
  const cdf = (x: number) => chiSquareCdf(x, degreesOfFreedom);
  return solveIncreasing(cdf, p, 0, bracket(cdf, p, degreesOfFreedom));
}

/** P(F > f) for Fisher's F with ν1 and ν2 degrees of freedom: the p-value of an analysis of variance. */
export function fisherUpperTail(f: number, numerator: number, denominator: number): number {
  if (f <= 0) return 1;
  const sum = denominator + numerator * f;
  return incompleteBeta(denominator / 2, numerator / 2, denominator / sum, (numerator * f) / sum);
}
