/** One point of a trace: monotonic milliseconds, value in the instrument's unit. */
export interface TracePoint {
  readonly atMilliseconds: number;
  readonly atWall: string;
  readonly value: number;
}

const keptMilliseconds = 180_000;
const mostPoints = 20_000;

/** The course of one instrument's indication over the last minutes. */
export class Trace {
  #points: TracePoint[] = [];

  add(point: TracePoint): void {
    this.#points.push(point);
    if (this.#points.length <= mostPoints) return;
    const oldest = point.atMilliseconds - keptMilliseconds;
    const fresh = this.#points.findIndex(({ atMilliseconds }) => atMilliseconds >= oldest);
    this.#points = this.#points.slice(Math.max(fresh, this.#points.length - mostPoints / 2));
  }

  /** Points from a time on. */
  since(atMilliseconds: number): readonly TracePoint[] {
    // From the end: what is asked for at every reading is the last second and a half of many minutes.
    const before = this.#points.findLastIndex((point) => point.atMilliseconds < atMilliseconds);
    return this.#points.slice(before + 1);
  }
}

/**
 * A trace as it is kept with a capture: milliseconds since its start, at most `most` points. Where it has more, each
 * stretch of equal length keeps its lowest and its highest point, so that no peak is lost.
 */
export function keptTrace(
  points: readonly TracePoint[],
  most = 600,
): { startedAt: string; points: [number, number][] } | null {
  const first = points[0];
  if (first === undefined) return null;
  const kept = points.length <= most ? points : thinOut(points, most);
  return {
    startedAt: first.atWall,
    points: kept.map(({ atMilliseconds, value }) => [
      Math.round(atMilliseconds - first.atMilliseconds),
      value,
    ]),
  };
}

function thinOut(points: readonly TracePoint[], most: number): readonly TracePoint[] {
  const stretch = Math.ceil(points.length / (most / 2));
  const kept: TracePoint[] = [];
  for (let start = 0; start < points.length; start += stretch) {
    const part = points.slice(start, start + stretch);
    const lowest = part.reduce((a, b) => (b.value < a.value ? b : a));
    const highest = part.reduce((a, b) => (b.value > a.value ? b : a));
    const inOrder = lowest.atMilliseconds <= highest.atMilliseconds ? [lowest, highest] : [highest, lowest];
    kept.push(...(lowest === highest ? [lowest] : inOrder));
  }
  return kept;
}
