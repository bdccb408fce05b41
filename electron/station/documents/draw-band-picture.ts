import type { BandPicture, PictureTick } from './band-picture.ts';
import { type Canvas, inks, type TextStyle } from './canvas.ts';
import { decisionShapes } from './status-mark.ts';

export const bandPictureHeight = 62;

const tick: TextStyle = { size: 7 };
const zoneFill = '#e2e2dc';
const dark = '#262626';

/** Heights below the top of the picture. */
const rows = {
  acceptanceText: 7,
  zoneTop: 11,
  zoneBottom: 23,
  marker: 31,
  uncertainty: 40.5,
  laneBottom: 46,
  toleranceText: 57.5,
};

/** Draws a band: zones, limits, target, the value with its expanded uncertainty. */
export function drawBandPicture(
  canvas: Canvas,
  picture: BandPicture,
  left: number,
  top: number,
  width: number,
): void {
  const x = (at: number) => left + at * width;
  const y = (row: keyof typeof rows) => top + rows[row];
  const zoneHeight = rows.zoneBottom - rows.zoneTop;
  const { tolerance, acceptance, target, marker, uncertainty } = picture;

  canvas.rectangle(
    x(tolerance.from),
    y('zoneTop'),
    (tolerance.to - tolerance.from) * width,
    zoneHeight,
    zoneFill,
  );
  if (acceptance !== null) {
    const zone = [x(acceptance.from), (acceptance.to - acceptance.from) * width] as const;
    canvas.rectangle(zone[0], y('zoneTop'), zone[1], zoneHeight, '#d3ecd9');
    canvas.hatch(zone[0], y('zoneTop'), zone[1], zoneHeight, '#7fb792');
  }
  canvas.line([left, y('laneBottom')], [left + width, y('laneBottom')], inks.hairline);
  for (const { at } of picture.acceptanceTicks) {
    canvas.line([x(at), y('zoneTop') - 2], [x(at), y('zoneBottom')], inks.good, 1);
  }
  for (const { at } of picture.toleranceTicks) {
    canvas.line([x(at), y('zoneTop')], [x(at), y('laneBottom') + 2], dark, 1.4);
  }
  if (target !== null) {
    const [middle, half] = [x(target.at), 2.6];
    canvas.line([middle, y('zoneTop')], [middle, y('laneBottom')], inks.quiet, 0.5);
    canvas.polygon(
      [
        [middle - half, y('laneBottom') + 4],
        [middle + half, y('laneBottom') + 4],
        [middle, y('laneBottom')],
      ],
      inks.quiet,
    );
  }
  if (marker.beyond === null) drawUncertainty(canvas, uncertainty, x, y('uncertainty'));
  drawMarker(canvas, marker, x, y('marker'));

  drawTickTexts(canvas, picture.acceptanceTicks, left, width, y('acceptanceText'), {
    ...tick,
    colour: inks.good,
  });
  const outer = drawTickTexts(canvas, picture.toleranceTicks, left, width, y('toleranceText'), {
    ...tick,
    bold: true,
  });
  if (target !== null) drawTargetText(canvas, target, outer, x(target.at), y('toleranceText'));
}

function drawUncertainty(
  canvas: Canvas,
  { from, to, isCutLeft, isCutRight }: BandPicture['uncertainty'],
  x: (at: number) => number,
  lane: number,
): void {
  canvas.line([x(from), lane], [x(to), lane], dark, 1.6);
  if (!isCutLeft) canvas.line([x(from), lane - 2.5], [x(from), lane + 2.5], dark, 1.2);
  if (!isCutRight) canvas.line([x(to), lane - 2.5], [x(to), lane + 2.5], dark, 1.2);
}

function drawMarker(
  canvas: Canvas,
  { at, text, decision, beyond }: BandPicture['marker'],
  x: (at: number) => number,
  lane: number,
): void {
  const { shape, tone } = decisionShapes[decision];
  const size = 11;
  if (beyond === null) {
    canvas.line([x(at), lane - 20], [x(at), lane + 9.5], inks[tone], 0.8);
    canvas.shape(shape, inks[tone], x(at), lane, size);
    return;
  }
  // Too far out for the picture: an arrow at the edge, with the value beside it.
  const side = beyond === 'left' ? -1 : 1;
  const edge = x(at);
  const tip = edge - side * 1;
  const back = edge - side * 9;
  canvas.polygon(
    [
      [tip, lane],
      [back, lane - 5],
      [back, lane + 5],
    ],
    inks[tone],
  );
  canvas.shape(shape, inks[tone], edge - side * 17, lane, size);
  canvas.text(
    canvas.printable(text, tick),
    edge - side * 26,
    lane + 2.5,
    { ...tick, bold: true, colour: inks[tone] },
    side < 0 ? 'left' : 'right',
  );
}

interface TextPlace {
  readonly from: number;
  readonly to: number;
}

/** One or two texts around their ticks, pushed apart and kept inside the picture. */
function drawTickTexts(
  canvas: Canvas,
  ticks: readonly PictureTick[],
  left: number,
  width: number,
  baseline: number,
  style: TextStyle,
): readonly TextPlace[] {
  const texts = ticks.map(({ text }) => canvas.printable(text, style));
  const widths = texts.map((text) => canvas.width(text, style));
  const middles = ticks.map(({ at }, index) => {
    const half = (widths[index] ?? 0) / 2;
    return Math.min(left + width - half, Math.max(left + half, left + at * width));
  });
  const [first, second] = middles;
  if (first !== undefined && second !== undefined) {
    const needed = ((widths[0] ?? 0) + (widths[1] ?? 0)) / 2 + 4;
    const push = Math.max(0, (needed - (second - first)) / 2);
    middles[0] = first - push;
    middles[1] = second + push;
  }
  return texts.map((text, index) => {
    const middle = middles[index] ?? left;
    const half = (widths[index] ?? 0) / 2;
    canvas.text(text, middle, baseline, style, 'middle');
    return { from: middle - half, to: middle + half };
  });
}

/** Left out where it would run into the limits: the target also stands among the facts. */
function drawTargetText(
  canvas: Canvas,
  target: PictureTick,
  taken: readonly TextPlace[],
  middle: number,
  baseline: number,
): void {
  const style = { ...tick, colour: inks.quiet };
  const text = canvas.printable(target.text, style);
  const half = canvas.width(text, style) / 2 + 3;
  const collides = taken.some(({ from, to }) => middle - half < to && middle + half > from);
  if (!collides) canvas.text(text, middle, baseline, style, 'middle');
}
