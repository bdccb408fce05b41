/** A line across a chart. */
export interface ChartLine {
  readonly value: number;
  readonly label: string;
  readonly kind: 'centre' | 'control' | 'tolerance';
}

/** Round steps between two values, about so many. */
export function ticksBetween(lower: number, upper: number, wished: number): readonly number[] {
  const rough = (upper - lower) / Math.max(1, wished);
  if (!(rough > 0) || !Number.isFinite(rough)) return [lower];
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5, 10].find((factor) => factor * power >= rough) ?? 10);
  const first = Math.ceil(lower / step - 1e-9);
  const last = Math.floor(upper / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, index) => {
    // Back to the decimals of the step: 0.30000000000000004 is 0.3.
    return Number(((first + index) * step).toPrecision(12));
  });
}

/** From the least to the most of all values and lines, with a little room; never empty. */
export function rangeOf(values: readonly number[]): { readonly lower: number; readonly upper: number } {
  const lower = Math.min(...values);
  const upper = Math.max(...values);
  const room = (upper - lower) * 0.06 || Math.abs(upper) * 0.01 || 1;
  return { lower: lower - room, upper: upper + room };
}

/** Places for labels that want these heights, none nearer to the next than `apart`, all between 0 and `height`. */
export function spread(wished: readonly number[], apart: number, height: number): readonly number[] {
  const order = wished.map((at, index) => ({ at, index })).sort((a, b) => a.at - b.at);
  const places = order.map(({ at }) => at);
  for (let index = 1; index < places.length; index++) {
    places[index] = Math.max(places[index] ?? 0, (places[index - 1] ?? 0) + apart);
  }
  let limit = height;
  for (let index = places.length - 1; index >= 0; index--) {
    places[index] = Math.min(places[index] ?? 0, limit);
    limit = (places[index] ?? 0) - apart;
  }
  const result = wished.slice();
  order.forEach(({ index }, rank) => {
    result[index] = places[rank] ?? 0;
  });
  return result;
}

/** Decimals that tell values of this spread apart. */
export function decimalsFor(lower: number, upper: number): number {
  const size = upper - lower;
  if (!(size > 0)) return 2;
  return Math.min(6, Math.max(0, 2 - Math.floor(Math.log10(size))));
}
