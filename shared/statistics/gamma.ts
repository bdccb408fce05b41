const halfLogTwoPi = Math.log(2 * Math.PI) / 2;

/**
 * ln Γ(x) − [(x − ½) ln x − x + ½ ln 2π] for x ≥ 10: Stirling's series (Abramowitz and Stegun 6.1.41), next
 * term below 1e-17.
 */
function stirlingRemainder(x: number): number {
  const r = 1 / (x * x);
  return (
    (1 / 12 -
      r * (1 / 360 - r * (1 / 1260 - r * (1 / 1680 - r * (1 / 1188 - r * (691 / 360360 - r / 156)))))) /
    x
  );
}

/** ln Γ(x) for x > 0. */
export function logGamma(x: number): number {
  if (x >= 10) return (x - 0.5) * Math.log(x) - x + halfLogTwoPi + stirlingRemainder(x);
  let product = 1;
  let shifted = x;
  while (shifted < 10) {
    product *= shifted;
    shifted += 1;
  }
  return logGamma(shifted) - Math.log(product);
}

/** ln B(a, b) for a, b > 0, without the loss of large logarithms cancelling. */
export function logBeta(a: number, b: number): number {
  const large = Math.max(a, b);
  const small = Math.min(a, b);
  if (large < 10) return logGamma(a) + logGamma(b) - logGamma(a + b);
  const sum = large + small;
  return (
    logGamma(small) +
    stirlingRemainder(large) -
    stirlingRemainder(sum) -
    (large - 0.5) * Math.log1p(small / large) -
    small * Math.log(sum) +
    small
  );
}

/**
 * Regularised incomplete beta function I_x(a, b), 0 ≤ x ≤ 1 (Abramowitz and Stegun 26.5.8, continued fraction
 * evaluated after Lentz). `complement` is 1 − x, given apart so that an x near one keeps its digits.
 */
export function incompleteBeta(a: number, b: number, x: number, complement = 1 - x): number {
  if (x <= 0) return 0;
  if (complement <= 0) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(b, a, complement, x);
  const front = Math.exp(a * Math.log(x) + b * Math.log(complement) - logBeta(a, b)) / a;
  return front * betaFraction(a, b, x);
}

const tiny = 1e-300;

function betaFraction(a: number, b: number, x: number): number {
  let c = 1;
  let d = 1 / nonZero(1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m <= 100_000; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / nonZero(1 + even * d);
    c = nonZero(1 + even / c);
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / nonZero(1 + odd * d);
    c = nonZero(1 + odd / c);
    const factor = d * c;
    fraction *= factor;
    if (Math.abs(factor - 1) < 1e-16) break;
  }
  return fraction;
}

function nonZero(value: number): number {
  return Math.abs(value) < tiny ? tiny : value;
}

/** Regularised lower incomplete gamma function P(a, x) (Abramowitz and Stegun 6.5.29, 6.5.31). */
export function incompleteGamma(a: number, x: number): number {
  if (x <= 0) return 0;
  const front = Math.exp(a * Math.log(x) - x - logGamma(a));
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let n = 1; term > sum * 1e-17 && n < 100_000; n += 1) {
      term *= x / (a + n);
      sum += term;
    }
    return front * sum;
  }
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / nonZero(b);
  let fraction = d;
  for (let n = 1; n < 100_000; n += 1) {
    const numerator = -n * (n - a);
    b += 2;
    d = 1 / nonZero(numerator * d + b);
    c = nonZero(b + numerator / c);
    const factor = d * c;
    fraction *= factor;
    if (Math.abs(factor - 1) < 1e-16) break;
  }
  return 1 - front * fraction;
}
