/** Places on the gauge, as shares of its width. */
export interface GaugeScale {
  /** Where a value stands, held to the ends of the gauge. */
  place(value: number): number;
  /** Where the scale changes: the way to the band is drawn shorter than the band. */
  readonly breaks: readonly number[];
}

interface Knot {
  readonly value: number;
  readonly share: number;
}

const edge = 0.03;

/**
 * The scale of a band gauge. The band takes the middle of the gauge whatever its width; the way from nothing to
 * it is drawn shorter, so that the last tenths before the band are as wide as they matter.
 */
export function gaugeScale(lower: number | null, upper: number | null, target: number | null): GaugeScale {
  const knots = knotsOf(lower, upper, target);
  return {
    place(value) {
      const next = knots.findIndex((knot) => knot.value >= value);
      if (next <= 0) return (next === 0 ? knots[0] : knots.at(-1))?.share ?? 0;
      const from = knots[next - 1];
      const to = knots[next];
      if (from === undefined || to === undefined) return 0;
      return from.share + ((value - from.value) / (to.value - from.value)) * (to.share - from.share);
    },
    breaks: knots.slice(1, -1).map(({ share }) => share),
  };
}

function knotsOf(lower: number | null, upper: number | null, target: number | null): readonly Knot[] {
  if (lower !== null && upper !== null) {
    const width = upper - lower;
    const start = lower > 0 ? Math.min(0, lower - width) : lower - width;
    return [
      { value: start, share: edge },
      { value: lower, share: 0.3 },
      { value: upper, share: 0.76 },
      { value: upper + width, share: 1 - edge },
    ];
  }
  const limit = lower ?? upper ?? 0;
  const size = Math.max(Math.abs(limit), Math.abs((target ?? limit) - limit) * 2, 1e-9);
  if (upper === null) {
    return [
      { value: limit - size, share: edge },
      { value: limit, share: 0.4 },
      { value: limit + size, share: 1 - edge },
    ];
  }
  return [
    { value: limit - size, share: edge },
    { value: limit, share: 0.7 },
    { value: limit + size / 2, share: 1 - edge },
  ];
}
