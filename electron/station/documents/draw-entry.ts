import type { Block, CaptureBlock } from './block.ts';
import { inks, type TextStyle } from './canvas.ts';
import { bandPictureHeight, drawBandPicture } from './draw-band-picture.ts';
import { type Column, drawMark, factFragments, lineFragments, markWidth, styles } from './draw-text.ts';
import type { Fragment } from './page-flow.ts';

/** Points left of entries, for their numbers. */
export const gutter = 26;

/** Number, time and person on one quiet line, with what else belongs there. */
function metaFragment(
  column: Column,
  head: { readonly eventNumber: number; readonly at: string; readonly person: string },
  rest: string | null,
  backdrop?: (top: number, height: number) => void,
): Fragment[] {
  const { canvas, left, width } = column;
  const text = [head.at, head.person, rest].filter((part) => part !== null).join('  ·  ');
  const inner = { canvas, left: left + gutter, width: width - gutter };
  const [first, ...others] = lineFragments(inner, text, styles.quiet, {
    gap: 5,
    keepWithNext: true,
    ...(backdrop ? { backdrop } : {}),
  });
  if (first === undefined) return [];
  const numbered: Fragment = {
    ...first,
    draw(top) {
      first.draw(top);
      const style = styles.quiet;
      canvas.text(String(head.eventNumber), left + gutter - 10, top + style.size, style, 'right');
    },
  };
  return [numbered, ...others];
}

/** What happened, when, by whom, with a mark at the right edge. */
export function drawEntry(column: Column, block: Extract<Block, { kind: 'entry' }>): Fragment[] {
  const { canvas, left, width } = column;
  const { mark, facts } = block;
  const inner = { canvas, left: left + gutter, width: width - gutter };
  const markRoom = mark === null ? 0 : markWidth(canvas, mark, styles.strong) + 10;
  const lines = lineFragments({ ...inner, width: inner.width - markRoom }, block.text, styles.body, {
    keepWithNext: facts.length > 0,
  });
  const [first, ...others] = lines;
  if (first === undefined) return [];
  const marked: Fragment = {
    ...first,
    draw(top) {
      first.draw(top);
      if (mark !== null) {
        drawMark(canvas, mark, left + width - markRoom + 10, top + styles.body.size, styles.strong);
      }
    },
  };
  return [
    ...metaFragment(column, block, block.amended),
    marked,
    ...others,
    ...factFragments(inner, facts, { labelWidth: 96 }),
  ];
}

/** A measurement with its band picture; the rule at its left is thick for the final attempt. */
export function drawCapture(column: Column, block: CaptureBlock): Fragment[] {
  const { canvas, left, width } = column;
  const colour = inks[block.mark.tone];
  const backdrop = (top: number, height: number) => {
    canvas.rectangle(left + gutter - 6, top, block.isFinal ? 3 : 1, height, colour);
  };
  const inner = { canvas, left: left + gutter + 4, width: width - gutter - 4 };
  const rest = [block.attempt, block.amended].filter((part) => part !== null).join('  ·  ');
  return [
    ...metaFragment(column, block, rest, backdrop),
    readingFragment(inner, block, backdrop),
    ...factFragments(inner, block.facts, { labelWidth: 96, gap: 2, backdrop }),
  ];
}

/** The value large, its decision in words, and the band picture. */
function readingFragment(
  { canvas, left, width }: Column,
  block: CaptureBlock,
  backdrop: (top: number, height: number) => void,
): Fragment {
  const textWidth = 172;
  const value: TextStyle = { size: 15, bold: true };
  const decision: TextStyle = { size: 9.5, bold: true };
  const indent = 16;
  const words = canvas.wrap(block.mark.word, textWidth - indent, decision);
  const height = Math.max(bandPictureHeight + 4, 36 + words.length * 12 + 14);
  const shown = canvas.printable(block.value, value);
  const size = Math.min(value.size, (value.size * (textWidth - 4)) / canvas.width(shown, value));
  return {
    height,
    keepWithNext: true,
    draw(top) {
      backdrop(top, height);
      canvas.text(shown, left, top + 16, { ...value, size });
      canvas.text(canvas.printable(block.uncertainty, styles.small), left, top + 27, styles.small);
      canvas.shape(block.mark.shape, inks[block.mark.tone], left + 6, top + 37, 12);
      for (const [index, word] of words.entries()) {
        const style = { ...decision, colour: inks[block.mark.tone] };
        canvas.text(word, left + indent, top + 40.5 + index * 12, style);
      }
      const below = top + 40.5 + words.length * 12;
      canvas.text(canvas.printable(block.conformance, styles.small), left, below + 1, styles.small);
      drawBandPicture(canvas, block.picture, left + textWidth + 8, top + 3, width - textWidth - 14);
    },
  };
}
