import type { Fact, Mark } from './block.ts';
import { type Canvas, inks, type TextStyle } from './canvas.ts';
import type { Fragment } from './page-flow.ts';

/** Where blocks are drawn. */
export interface Column {
  readonly canvas: Canvas;
  readonly left: number;
  readonly width: number;
}

export const styles = {
  body: { size: 9 },
  strong: { size: 9, bold: true },
  small: { size: 8 },
  quiet: { size: 7.5, colour: inks.quiet },
  label: { size: 7.5, bold: true, colour: inks.quiet },
} as const satisfies Record<string, TextStyle>;

/** Distance of baselines. */
export const leading = (style: TextStyle): number => Math.round(style.size * 1.28 * 4) / 4;

/** Rows of at most so many lines stay on one page. */
const keptTogether = 10;

/** Something drawn beside the lines of a text, with its part of the height: rules, panels. */
export type Backdrop = (top: number, height: number) => void;

/** Lines of text, one fragment each; few lines stay together. */
export function lineFragments(
  column: Column,
  text: string,
  style: TextStyle,
  options: { readonly gap?: number; readonly keepWithNext?: boolean; readonly backdrop?: Backdrop } = {},
): Fragment[] {
  const { canvas, left, width } = column;
  const lines = canvas.wrap(text, width, style);
  const height = leading(style);
  return lines.map((line, index) => {
    const isLast = index === lines.length - 1;
    const gap = index === 0 ? (options.gap ?? 0) : 0;
    const keeps = isLast ? options.keepWithNext === true : index === 0 || lines.length <= keptTogether;
    return {
      height,
      gap,
      keepWithNext: keeps,
      draw(top) {
        options.backdrop?.(top - gap, height + gap);
        canvas.text(line, left, top + style.size, style);
      },
    };
  });
}

/** Labels in a narrow column with their texts beside them. */
export function factFragments(
  column: Column,
  facts: readonly Fact[],
  options: { readonly labelWidth: number; readonly gap?: number; readonly backdrop?: Backdrop },
): Fragment[] {
  const { canvas, left, width } = column;
  const { labelWidth, backdrop } = options;
  const style = styles.small;
  return facts.flatMap(({ label, text }, factIndex) => {
    const labels = canvas.wrap(label, labelWidth - 8, styles.label);
    const texts = canvas.wrap(text, width - labelWidth, style);
    const count = Math.max(labels.length, texts.length);
    const height = leading(style) + 0.5;
    return Array.from({ length: count }, (_, index): Fragment => {
      const gap = index === 0 && factIndex === 0 ? (options.gap ?? 0) : 0;
      return {
        height,
        gap,
        keepWithNext: index < count - 1 && (index === 0 || count <= keptTogether),
        draw(top) {
          backdrop?.(top - gap, height + gap);
          canvas.text(labels[index] ?? '', left, top + style.size, styles.label);
          canvas.text(texts[index] ?? '', left + labelWidth, top + style.size, style);
        },
      };
    });
  });
}

/** Width of a mark: shape, space, word. */
export function markWidth(canvas: Canvas, mark: Mark, style: TextStyle): number {
  return style.size * 1.5 + canvas.width(canvas.printable(mark.word, style), style);
}

/** A mark on one line, its left edge at x. */
export function drawMark(canvas: Canvas, mark: Mark, x: number, baseline: number, style: TextStyle): void {
  const { size } = style;
  const colour = inks[mark.tone];
  canvas.shape(mark.shape, colour, x + size * 0.55, baseline - size * 0.36, size * 1.1);
  canvas.text(canvas.printable(mark.word, style), x + size * 1.5, baseline, { ...style, colour });
}
