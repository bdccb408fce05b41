/** Constants of the range and the standard deviation of `n` normal readings, for n = 2 … 10. */
export interface ControlConstants {
  /** Mean of the range in standard deviations. */
  readonly d2: number;
  /** Standard deviation of the range in standard deviations. */
  readonly d3: number;
  /** Mean of the sample standard deviation in standard deviations. */
  readonly c4: number;
  readonly A2: number;
  readonly A3: number;
  readonly B3: number;
  readonly B4: number;
  readonly D3: number;
  readonly D4: number;
}

/** [d2, d3, c4], from n = 2: integrated from the distribution of the range; ASTM E2587 prints them rounded. */
const basics: readonly (readonly [number, number, number])[] = [
  [1.1283791671, 0.8525024664, 0.797884560803], // n = 2: 2/√π, √(2 − 4/π), √(2/π)
  [1.6925687506, 0.888368004, 0.886226925453], // n = 3: 3/√π
  [2.058750746, 0.8798082028, 0.921317731924],
  [2.3259289473, 0.8640819411, 0.939985602987],
  [2.5344127212, 0.8480396861, 0.951532861948],
  [2.7043567512, 0.8332053356, 0.9593687887],
  [2.8472006121, 0.8198314898, 0.965030456147],
  [2.9700263244, 0.8078342746, 0.969310699714],
  [3.0775054617, 0.7970506735, 0.972659274122],
];

/** Constants for subgroups of `n`. Throws RangeError outside 2 … 10. */
export function controlConstants(n: number): ControlConstants {
  const row = basics[n - 2];
  if (row === undefined) throw new RangeError(`subgroups have 2 to 10 readings, not ${n}`);
  const [d2, d3, c4] = row;
  const spread = (3 * Math.sqrt(1 - c4 * c4)) / c4;
  return {
    d2,
    d3,
    c4,
    A2: 3 / (d2 * Math.sqrt(n)),
    A3: 3 / (c4 * Math.sqrt(n)),
    B3: Math.max(0, 1 - spread),
    B4: 1 + spread,
    D3: Math.max(0, 1 - (3 * d3) / d2),
    D4: 1 + (3 * d3) / d2,
  };
}
