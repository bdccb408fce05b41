const sqrtTwoPi = Math.sqrt(2 * Math.PI);

/** Density of the standard normal distribution. */
export function normalDensity(z: number): number {
  return expOfHalfSquare(z) / sqrtTwoPi;
}

/** exp(−z²/2). The square is split at a sixteenth, so that its rounding error does not grow with z. */
function expOfHalfSquare(z: number): number {
  if (Math.abs(z) > 40) return 0;
  const coarse = Math.trunc(z * 16) / 16;
  return Math.exp((-coarse * coarse) / 2) * Math.exp((-(z - coarse) * (z + coarse)) / 2);
}

/**
 * P(Z ≤ z) for the standard normal Z, relative error below 1e-13 down to z = −37.
 * Near the centre the series φ(z)·(z + z³/3 + z⁵/15 + …) (Abramowitz and Stegun 26.2.11), further out
 * Laplace's continued fraction of the tail (26.2.14).
 */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  if (z > 1) return 1 - upperTail(z);
  if (z < -1) return upperTail(-z);
  let term = z;
  let sum = z;
  for (let odd = 3; Math.abs(term) > 1e-18 * Math.abs(sum); odd += 2) {
    term *= (z * z) / odd;
    sum += term;
  }
  return 0.5 + normalDensity(z) * sum;
}

/** P(Z > z) for z ≥ 1. */
function upperTail(z: number): number {
  if (z > 40) return 0;
  // The fraction converges like exp(−2z√(2n)); this depth reaches double precision at every z ≥ 1.
  let fraction = z;
  for (let depth = Math.ceil(240 / (z * z)) + 12; depth >= 1; depth -= 1) fraction = z + depth / fraction;
  return normalDensity(z) / fraction;
}

/**
 * P(a < Z ≤ b) without losing a small difference of two values near one.
 */
export function normalInterval(a: number, b: number): number {
  return a > 0 ? normalCdf(-a) - normalCdf(-b) : normalCdf(b) - normalCdf(a);
}

/**
 * The z with P(Z ≤ z) = p, for 0 < p < 1: Abramowitz and Stegun 26.2.23 as a start, then Halley steps on
 * `normalCdf`. Throws RangeError outside.
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`a probability lies between 0 and 1, not ${p}`);
  if (p > 0.5) return -lowerQuantile(1 - p);
  return lowerQuantile(p);
}

function lowerQuantile(p: number): number {
  if (p === 0.5) return 0;
  const t = Math.sqrt(-2 * Math.log(p));
  let z = -(
    t -
    (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)))
  );
  for (let step = 0; step < 4; step += 1) {
    const error = (normalCdf(z) - p) / normalDensity(z);
    z -= error / (1 + (z * error) / 2);
  }
  return z;
}
