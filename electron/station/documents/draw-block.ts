import type { Block, LegendTexts, Tone } from './block.ts';
import { inks, type TextStyle } from './canvas.ts';
import { drawCapture, drawEntry, gutter } from './draw-entry.ts';
import { tableFragments } from './draw-table.ts';
import {
  type Column,
  drawMark,
  factFragments,
  leading,
  lineFragments,
  markWidth,
  styles,
} from './draw-text.ts';
import type { Fragment } from './page-flow.ts';

/** The fragments of blocks in order. A step that runs over a page is named again on the next. */
export function drawBlocks(column: Column, blocks: readonly Block[]): Fragment[] {
  let repeat: Fragment | undefined;
  return blocks.flatMap((block) => {
    const fragments = fragmentsOf(column, block);
    if (block.kind === 'heading') repeat = undefined;
    if (block.kind === 'step') {
      repeat = stepHeading(column, block, 1);
      return fragments;
    }
    const heading = repeat;
    if (heading === undefined) return fragments;
    return fragments.map((fragment) => ({ repeat: heading, ...fragment }));
  });
}

function fragmentsOf(column: Column, block: Block): Fragment[] {
  switch (block.kind) {
    case 'masthead':
      return [masthead(column, block)];
    case 'heading':
      return [heading(column, block.text)];
    case 'facts':
      return block.columns === 2
        ? pairedFacts(column, block.facts)
        : factFragments(column, block.facts, { labelWidth: 128, gap: 2 });
    case 'paragraph':
      return block.label === undefined
        ? lineFragments(column, block.text, styles.small, { gap: 4 })
        : [
            ...lineFragments(column, block.label, styles.label, { gap: 6, keepWithNext: true }),
            ...lineFragments(column, block.text, styles.body),
          ];
    case 'notice':
      return notice(column, block.tone, block.title, block.text);
    case 'table':
      return tableFragments(column, block.columns, block.rows);
    case 'step':
      return [stepHeading(column, block)];
    case 'entry':
      return drawEntry(column, block);
    case 'capture':
      return drawCapture(column, block);
    case 'legend':
      return [legend(column, block.texts)];
  }
}

function masthead(
  { canvas, left, width }: Column,
  { title, label, subject, lines, mark }: Extract<Block, { kind: 'masthead' }>,
): Fragment {
  const plateWidth = 168;
  const room = width - plateWidth - 16;
  const big: TextStyle = { size: 20, bold: true };
  const plate: TextStyle = { size: 12, bold: true, colour: inks[mark.tone] };
  const subjects = canvas.wrap(subject, room, big);
  const rest = lines.flatMap((line) => canvas.wrap(line, room, styles.body));
  const words = canvas.wrap(mark.word, plateWidth - 48, plate);
  const plateHeight = Math.max(40, words.length * 15 + 16);
  const textHeight = 28 + subjects.length * 23 + rest.length * 12 + 4;
  return {
    height: Math.max(textHeight, plateHeight + 6),
    draw(top) {
      canvas.text(canvas.printable(title, styles.strong), left, top + 9, { size: 11, bold: true });
      canvas.text(canvas.printable(label, styles.label), left, top + 24, styles.label);
      let y = top + 26;
      for (const line of subjects) {
        y += 20;
        canvas.text(line, left, y, big);
        y += 3;
      }
      for (const line of rest) {
        y += 11;
        canvas.text(line, left, y, styles.body);
        y += 1;
      }
      const x = left + width - plateWidth;
      canvas.frame(x, top + 1, plateWidth, plateHeight, inks[mark.tone], 1.6);
      canvas.shape(mark.shape, inks[mark.tone], x + 22, top + 1 + plateHeight / 2, 24);
      for (const [index, word] of words.entries()) {
        const first = top + 1 + plateHeight / 2 - (words.length * 15) / 2 + 11.5;
        canvas.text(word, x + 42, first + index * 15, plate);
      }
    },
  };
}

function heading({ canvas, left, width }: Column, text: string): Fragment {
  const style: TextStyle = { size: 11.5, bold: true };
  return {
    height: 20,
    gap: 14,
    keepWithNext: true,
    draw(top) {
      canvas.text(canvas.printable(text, style), left, top + 11, style);
      canvas.line([left, top + 16], [left + width, top + 16], inks.text, 1.2);
    },
  };
}

function pairedFacts(
  column: Column,
  facts: readonly { readonly label: string; readonly text: string }[],
): Fragment[] {
  const { canvas, left, width } = column;
  const room = width / 2 - 12;
  const cells = facts.map(({ label, text }) => ({
    label: canvas.printable(label, styles.label),
    lines: canvas.wrap(text, room, styles.body),
  }));
  const rows = Array.from({ length: Math.ceil(cells.length / 2) }, (_, index) =>
    cells.slice(index * 2, index * 2 + 2),
  );
  return rows.map((row, rowIndex) => {
    const count = Math.max(...row.map(({ lines }) => lines.length));
    return {
      height: 10 + count * leading(styles.body) + 4,
      gap: rowIndex === 0 ? 10 : 0,
      draw(top) {
        for (const [index, { label, lines }] of row.entries()) {
          const x = left + (index * width) / 2;
          canvas.text(label, x, top + 8, styles.label);
          for (const [line, text] of lines.entries()) {
            canvas.text(text, x, top + 19 + line * leading(styles.body), styles.body);
          }
        }
      },
    };
  });
}

function notice(column: Column, tone: Tone, title: string, text: string): Fragment[] {
  const { canvas, left, width } = column;
  const colour = inks[tone];
  const inner = { canvas, left: left + 12, width: width - 20 };
  const backdrop = (top: number, height: number) => {
    canvas.rectangle(left, top, width, height, inks.panel);
    canvas.rectangle(left, top, 4, height, colour);
  };
  const pad = (height: number, gap: number, keepWithNext: boolean): Fragment => ({
    height,
    gap,
    keepWithNext,
    draw: (top) => backdrop(top, height),
  });
  return [
    pad(4, 6, true),
    ...lineFragments(inner, title, { ...styles.strong, colour }, { keepWithNext: true, backdrop }),
    ...lineFragments(inner, text, styles.small, { keepWithNext: true, backdrop }),
    pad(4, 0, false),
  ];
}

function stepHeading(
  column: Column,
  { number, title, word, mark }: Extract<Block, { kind: 'step' }>,
  mostLines = Number.POSITIVE_INFINITY,
): Fragment {
  const { canvas, left, width } = column;
  const style: TextStyle = { size: 10, bold: true };
  const markStyle: TextStyle = { size: 8.5, bold: true };
  const right = markWidth(canvas, mark, markStyle);
  const kind = canvas.printable(word, styles.quiet);
  const room = width - gutter - right - canvas.width(kind, styles.quiet) - 24;
  const wrapped = canvas.wrap(title, room, style);
  const lines = wrapped.length > mostLines ? [canvas.fitted(title, room, style)] : wrapped;
  return {
    height: lines.length * 13 + 6,
    gap: 9,
    keepWithNext: true,
    draw(top) {
      canvas.line([left, top], [left + width, top], inks.hairline, 0.7);
      canvas.text(String(number), left, top + 13, style);
      for (const [index, line] of lines.entries()) {
        canvas.text(line, left + gutter, top + 13 + index * 13, style);
      }
      canvas.text(kind, left + width - right - 12, top + 13, styles.quiet, 'right');
      drawMark(canvas, mark, left + width - right, top + 13, markStyle);
    },
  };
}

function legend({ canvas, left, width }: Column, texts: LegendTexts): Fragment {
  const style = styles.quiet;
  type Sign = (x: number, y: number) => void;
  const signs: readonly (readonly [Sign, string])[] = [
    [(x, y) => canvas.line([x + 7, y - 7], [x + 7, y + 1], '#262626', 1.4), texts.tolerance],
    [
      (x, y) => {
        canvas.rectangle(x, y - 7, 14, 8, '#d3ecd9');
        canvas.hatch(x, y - 7, 14, 8, '#7fb792');
      },
      texts.acceptance,
    ],
    [
      (x, y) =>
        canvas.polygon(
          [
            [x + 4, y + 1],
            [x + 10, y + 1],
            [x + 7, y - 4],
          ],
          inks.quiet,
        ),
      texts.target,
    ],
    [
      (x, y) => {
        canvas.line([x, y - 3], [x + 14, y - 3], '#262626', 1.6);
        canvas.line([x, y - 6], [x, y], '#262626', 1);
        canvas.line([x + 14, y - 6], [x + 14, y], '#262626', 1);
      },
      texts.uncertainty,
    ],
    [(x, y) => canvas.shape('disc', inks.good, x + 7, y - 3, 9), texts.value],
  ];
  const title = canvas.printable(`${texts.legend}:`, styles.label);
  return {
    height: 14,
    gap: 2,
    keepWithNext: true,
    draw(top) {
      canvas.text(title, left, top + 8, styles.label);
      let x = left + canvas.width(title, styles.label) + 10;
      for (const [sign, text] of signs) {
        const shown = canvas.printable(text, style);
        if (x + 18 + canvas.width(shown, style) > left + width) break;
        sign(x, top + 8);
        canvas.text(shown, x + 18, top + 8, style);
        x += 18 + canvas.width(shown, style) + 12;
      }
    },
  };
}
