import { Canvas, pointsPerMillimetre, type TextStyle } from './canvas.ts';
import type { DocumentFonts } from './document-fonts.ts';
import { serialCode } from './serial-code.ts';
import type { TagLabel } from './tag-label.ts';

/** Millimetres; a common size of label rolls (common practice, no source). */
export const tagSize = { width: 62, height: 40 };

const mm = (millimetres: number) => millimetres * pointsPerMillimetre;
const black = '#000000';
const white = '#ffffff';
/** Free at every edge, as label printers do not reach it (common practice, no source). */
const edge = mm(2);

/**
 * Draws a tag in black only, since label printers have no colour: status by shape and word. The same tag and fonts
 * always give the same bytes.
 */
export async function drawTagLabel(tag: TagLabel, fonts: DocumentFonts): Promise<Uint8Array> {
  const canvas = new Canvas({ ...tag, subject: `${tag.serialLabel} ${tag.serial}` }, fonts);
  const page = { width: mm(tagSize.width), height: mm(tagSize.height) };
  canvas.addPage(page);
  const codeSize = drawCode(canvas, tag.serial);
  const textLeft = edge + codeSize + mm(2.5);
  const textWidth = page.width - edge - textLeft;
  const bottom = page.height - edge;
  const decisionTop = drawDecision(canvas, tag, page.width - 2 * edge, bottom);
  drawTexts(canvas, tag, textLeft, textWidth, decisionTop - mm(1));
  const small: TextStyle = { size: 5.5, colour: black };
  const lines = tag.record.flatMap((line) => canvas.wrap(line, codeSize, small));
  for (const [index, line] of lines.entries()) {
    canvas.text(line, edge, edge + codeSize + 4 + index * 6.4, small);
  }
  return canvas.finish();
}

/**
 * The code at the left: modules of a whole number of eighths of a millimetre, the dots of a 203 dpi print head.
 *
 * @returns its size with the quiet zone, in points
 */
function drawCode(canvas: Canvas, serial: string): number {
  const code = serialCode(serial);
  const room = 20;
  const module = mm(Math.floor((room / (code.columns + 2)) * 8) / 8);
  const parts: [number, number, number, number][] = [];
  for (let row = 0; row < code.rows; row++) {
    for (let column = 0; column < code.columns; column++) {
      if (!code.isDark(column, row)) continue;
      parts.push([edge + (column + 1) * module, edge + (row + 1) * module, module, module]);
    }
  }
  canvas.rectangles(parts, black);
  return mm(room);
}

/** The decision across the bottom, above it the mark of a simulated bench. Returns the top of both. */
function drawDecision(canvas: Canvas, tag: TagLabel, width: number, bottom: number): number {
  const height = mm(7);
  const top = bottom - height;
  const style: TextStyle = { size: 13, bold: true, colour: black };
  const word = canvas.printable(tag.mark.word, style);
  const room = width - mm(11);
  const size = Math.min(style.size, (style.size * room) / canvas.width(word, style));
  canvas.frame(edge, top, width, height, black, 1.2);
  canvas.shape(tag.mark.shape, black, edge + mm(4.5), top + height / 2, mm(5));
  canvas.text(word, edge + mm(9), top + height / 2 + size * 0.36, { ...style, size });
  if (tag.simulated === null) return top;
  const banner = mm(4.2);
  const bannerTop = top - banner - mm(0.6);
  canvas.rectangle(edge, bannerTop, width, banner, black);
  const light: TextStyle = { size: 9, bold: true, colour: white };
  const text = canvas.printable(tag.simulated, light);
  canvas.text(text, edge + width / 2, bannerTop + banner / 2 + 3.2, light, 'middle');
  return bannerTop;
}

/** Serial as large as it fits on at most four lines, head, and the facts. */
function drawTexts(canvas: Canvas, tag: TagLabel, left: number, width: number, bottom: number): void {
  const label: TextStyle = { size: 5.5, colour: black };
  const fact: TextStyle = { size: 7, bold: true, colour: black };
  const head: TextStyle = { size: 6.5, colour: black };
  canvas.text(canvas.printable(tag.serialLabel, label), left, edge + 5, label);
  const factsTop = bottom - tag.facts.length * 8.4;
  const [first = '', ...rest] = canvas.wrap(tag.head, width, head);
  const headLines = rest.length === 0 ? [first] : [first, canvas.fitted(rest.join(' '), width, head)];
  const headTop = factsTop - headLines.length * 7.6 - 2;
  const serial = fittingSerial(canvas, tag.serial, width, headTop - edge - 7);
  let y = edge + 6;
  for (const line of serial.lines) {
    y += serial.size * 1.08;
    canvas.text(line, left, y, { size: serial.size, bold: true, colour: black });
  }
  for (const [index, line] of headLines.entries()) {
    canvas.text(line, left, headTop + (index + 1) * 7.6, head);
  }
  for (const [index, { label: name, text }] of tag.facts.entries()) {
    const baseline = factsTop + (index + 1) * 8.4 - 1.5;
    const shown = canvas.printable(`${name} `, label);
    canvas.text(shown, left, baseline, label);
    canvas.text(canvas.printable(text, fact), left + canvas.width(shown, label), baseline, fact);
  }
}

function fittingSerial(
  canvas: Canvas,
  serial: string,
  width: number,
  height: number,
): { readonly size: number; readonly lines: readonly string[] } {
  for (let size = 15; size > 6; size -= 0.5) {
    const lines = canvas.wrap(serial, width, { size, bold: true });
    if (lines.length <= 4 && lines.length * size * 1.08 <= height) return { size, lines };
  }
  return { size: 6, lines: canvas.wrap(serial, width, { size: 6, bold: true }) };
}
