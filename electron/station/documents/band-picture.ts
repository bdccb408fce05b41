import type { Decision, Judgement } from '../../../shared/acceptance/judgement.ts';

/** Part of the picture's width, 0 is its left edge and 1 its right. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** A limit or target with its printed value. */
export interface PictureTick {
  readonly at: number;
  readonly text: string;
}

/**
 * The band of a judged value as positions along one axis: what the picture shows, without saying how. An end of a
 * zone at 0 or 1 without a tick is open: there is no limit on that side.
 */
export interface BandPicture {
  readonly tolerance: Stretch;
  readonly acceptance: Stretch | null;
  readonly toleranceTicks: readonly PictureTick[];
  readonly acceptanceTicks: readonly PictureTick[];
  readonly target: PictureTick | null;
  readonly marker: PictureTick & {
    readonly decision: Decision;
    /** The value lies outside the picture on this side; the marker then stands at the edge. */
    readonly beyond: 'left' | 'right' | null;
  };
  /** Value minus and plus the expanded uncertainty; an end that lies outside the picture is cut. */
  readonly uncertainty: Stretch & { readonly isCutLeft: boolean; readonly isCutRight: boolean };
}

/** How far beyond a limit the picture reaches at most, in widths of the tolerance. */
const farthest = 1.2;

/**
 * Lays a judgement out along an axis.
 *
 * @param target in the unit of the judgement; null without one
 * @param textOf how a value of the axis is printed, without unit
 */
export function bandPictureOf(
  judgement: Judgement,
  target: number | null,
  textOf: (value: number) => string,
): BandPicture {
  const { value, tolerance, acceptance, uncertainty, decision } = judgement;
  const { low, high } = axisOf(judgement, target);
  const exact = (point: number) => (point - low) / (high - low);
  const place = (point: number) => Math.min(1, Math.max(0, exact(point)));
  const stretch = (lower: number | null, upper: number | null): Stretch => ({
    from: lower === null ? 0 : place(lower),
    to: upper === null ? 1 : place(upper),
  });
  const ticks = (points: readonly (number | null)[]): readonly PictureTick[] =>
    points.flatMap((point) => (point === null ? [] : [{ at: place(point), text: textOf(point) }]));
  const left = value - uncertainty.expanded;
  const right = value + uncertainty.expanded;
  return {
    tolerance: stretch(tolerance.lower, tolerance.upper),
    acceptance: acceptance === null ? null : stretch(acceptance.lower, acceptance.upper),
    toleranceTicks: ticks([tolerance.lower, tolerance.upper]),
    acceptanceTicks: acceptance === null ? [] : ticks([acceptance.lower, acceptance.upper]),
    target: target === null ? null : { at: place(target), text: textOf(target) },
    marker: {
      at: place(value),
      text: textOf(value),
      decision,
      beyond: exact(value) < 0 ? 'left' : exact(value) > 1 ? 'right' : null,
    },
    uncertainty: {
      from: place(left),
      to: place(right),
      isCutLeft: exact(left) < 0,
      isCutRight: exact(right) > 1,
    },
  };
}

/** Ends of the axis: the band with room on both sides, wider for a value outside, but never without measure. */
function axisOf(judgement: Judgement, target: number | null): { low: number; high: number } {
  const { value, tolerance, uncertainty } = judgement;
  const { lower, upper } = tolerance;
  const reach = 1.15 * uncertainty.expanded;
  const width =
    lower !== null && upper !== null
      ? upper - lower
      : Math.max(8 * uncertainty.expanded, 1.5 * Math.abs((target ?? value) - (lower ?? upper ?? value)));
  const bottom = lower ?? (upper ?? 0) - width;
  const top = upper ?? (lower ?? 0) + width;
  return {
    low: Math.max(bottom - farthest * width, Math.min(bottom - 0.3 * width, value - reach)),
    high: Math.min(top + farthest * width, Math.max(top + 0.3 * width, value + reach)),
  };
}
