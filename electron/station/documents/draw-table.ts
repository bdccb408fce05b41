import type { Cell, TableColumn } from './block.ts';
import { inks } from './canvas.ts';
import { type Column, leading, styles } from './draw-text.ts';
import type { Fragment } from './page-flow.ts';

const style = styles.small;
const padding = 6;
/** Rows of at most so many lines stay on one page. */
const keptTogether = 12;

/** A table: labels that come again on every page, rows that may run over where they are very long. */
export function tableFragments(
  column: Column,
  columns: readonly TableColumn[],
  rows: readonly (readonly Cell[])[],
): Fragment[] {
  const starts = columns.map((_, index) =>
    columns.slice(0, index).reduce((sum, { share }) => sum + share * column.width, column.left),
  );
  const header = headerFragment(column, columns, starts);
  return [
    { ...header, keepWithNext: true },
    ...rows.flatMap((row) => rowFragments(column, columns, starts, row, header)),
  ];
}

function headerFragment(
  { canvas, left, width }: Column,
  columns: readonly TableColumn[],
  starts: readonly number[],
): Fragment {
  const cells = columns.map(({ label, share }) => canvas.wrap(label, share * width - padding, styles.label));
  const lineHeight = leading(styles.label);
  const height = Math.max(...cells.map((lines) => lines.length)) * lineHeight + 4;
  return {
    height,
    gap: 2,
    draw(top) {
      for (const [index, lines] of cells.entries()) {
        const x = edgeOf(columns[index], starts[index] ?? left, width);
        for (const [lineIndex, line] of lines.entries()) {
          canvas.text(line, x.at, top + (lineIndex + 1) * lineHeight - 2, styles.label, x.anchor);
        }
      }
      canvas.line([left, top + height - 1], [left + width, top + height - 1], inks.neutral, 0.7);
    },
  };
}

function rowFragments(
  { canvas, left, width }: Column,
  columns: readonly TableColumn[],
  starts: readonly number[],
  row: readonly Cell[],
  header: Fragment,
): Fragment[] {
  const indent = style.size * 1.5;
  const cells = row.map((cell, index) => {
    const room = (columns[index]?.share ?? 0) * width - padding;
    return typeof cell === 'string'
      ? { lines: canvas.wrap(cell, room, style), mark: null }
      : { lines: canvas.wrap(cell.word, room - indent, style), mark: cell };
  });
  const count = Math.max(...cells.map(({ lines }) => lines.length));
  const lineHeight = leading(style) + 0.5;
  return Array.from({ length: count }, (_, lineIndex): Fragment => {
    const isLast = lineIndex === count - 1;
    const above = lineIndex === 0 ? 2 : 0;
    const below = isLast ? 3 : 0;
    const height = above + lineHeight + below;
    return {
      height,
      keepWithNext: !isLast && (count <= keptTogether || lineIndex === 0),
      repeat: header,
      draw(top) {
        const baseline = top + above + style.size;
        for (const [index, { lines, mark }] of cells.entries()) {
          const line = lines[lineIndex] ?? '';
          const x = edgeOf(columns[index], starts[index] ?? left, width);
          if (mark === null) {
            canvas.text(line, x.at, baseline, style, x.anchor);
            continue;
          }
          const colour = inks[mark.tone];
          if (lineIndex === 0) canvas.shape(mark.shape, colour, x.at + 4.4, baseline - 2.9, 8.8);
          canvas.text(line, x.at + indent, baseline, { ...style, colour });
        }
        if (isLast)
          canvas.line([left, top + height - 0.5], [left + width, top + height - 0.5], inks.hairline);
      },
    };
  });
}

function edgeOf(column: TableColumn | undefined, start: number, width: number) {
  return column?.align === 'right'
    ? ({ at: start + column.share * width - padding * 2, anchor: 'right' } as const)
    : ({ at: start, anchor: 'left' } as const);
}
