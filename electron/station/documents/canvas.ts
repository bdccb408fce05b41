import PDFDocument from 'pdfkit';
import { z } from 'zod';
import type { Shape, Tone } from './block.ts';
import type { DocumentFonts } from './document-fonts.ts';
import { cutText, type HasLetter, hasWinAnsiLetter, printableText, wrapText } from './printable-text.ts';

/** One PDF point is 1/72 inch. */
export const pointsPerMillimetre = 72 / 25.4;

export interface TextStyle {
  /** Points. */
  readonly size: number;
  readonly bold?: boolean;
  readonly colour?: string;
}

/** Colours on white paper; each at least 4.5:1 against it (WCAG 2.2, 1.4.3). */
export const inks = {
  text: '#1a1a1a',
  quiet: '#595959',
  hairline: '#b4b4b4',
  panel: '#f3f3f0',
  good: '#17663a',
  warning: '#8a5200',
  bad: '#a31621',
  neutral: '#4a4a4a',
} as const satisfies Record<Tone, string> & Record<string, string>;

export interface PageSize {
  /** Points. */
  readonly width: number;
  readonly height: number;
}

/** What stands in the file besides its pages. */
export interface FileFacts {
  readonly title: string;
  readonly subject: string;
  readonly author: string;
  readonly language: string;
  /** ISO 8601. */
  readonly createdAt: string;
}

// Not in the published types: the coverage of the embedded font that is in use.
const embeddedFontSchema = z.object({ font: z.object({ characterSet: z.array(z.number()) }) });

/**
 * A PDF under the hand: measures and draws text, lines and marks in points, y growing downwards. Same calls, same
 * bytes: no clock, no random id, no compression (whose bytes differ between builds of Node and processors).
 */
export class Canvas {
  readonly #document: PDFKit.PDFDocument;
  readonly #chunks: Buffer[] = [];
  /** Of texts at a size of one point. */
  readonly #widths = new Map<string, number>();
  readonly #hasLetter: Readonly<Record<'regular' | 'bold', HasLetter>>;

  constructor(facts: FileFacts, fonts: DocumentFonts) {
    const at = new Date(facts.createdAt);
    this.#document = new PDFDocument({
      autoFirstPage: false,
      // None but ours: a default font that is named anew is compared pair by pair, which took six sevenths of the time.
      font: '',
      compress: false,
      margin: 0,
      pdfVersion: '1.7',
      lang: facts.language,
      displayTitle: true,
      info: {
        Title: facts.title,
        Subject: facts.subject,
        Author: facts.author,
        Creator: 'Bandwright',
        Producer: 'Bandwright',
        CreationDate: at,
        ModDate: at,
      },
    });
    this.#document.on('data', (chunk: Buffer) => this.#chunks.push(chunk));
    this.#hasLetter = {
      regular: this.#register('regular', fonts),
      bold: this.#register('bold', fonts),
    };
  }

  #register(weight: 'regular' | 'bold', fonts: DocumentFonts): HasLetter {
    this.#document.registerFont(
      weight,
      fonts.kind === 'standard' ? fonts[weight] : Buffer.from(fonts[weight]),
    );
    this.#document.font(weight);
    if (fonts.kind === 'standard') return hasWinAnsiLetter;
    const { font } = embeddedFontSchema.parse(Reflect.get(this.#document, '_font'));
    const letters = new Set(font.characterSet);
    return (codePoint) => letters.has(codePoint);
  }

  addPage(size: PageSize): void {
    this.#document.addPage({ size: [size.width, size.height], margin: 0 });
  }

  /** Names the current page in the outline of the file. */
  addBookmark(title: string): void {
    this.#document.outline.addItem(this.printable(title, { size: 1 }));
  }

  /** The text as this font can show it. */
  printable(text: string, style: TextStyle): string {
    return printableText(text, this.#hasLetter[style.bold === true ? 'bold' : 'regular']);
  }

  /** Width of printable text in points. */
  width(text: string, { size, bold }: TextStyle): number {
    const weight = bold === true ? 'bold' : 'regular';
    const key = `${weight} ${text}`;
    let ofOnePoint = this.#widths.get(key);
    if (ofOnePoint === undefined) {
      ofOnePoint = this.#document.font(weight).fontSize(1).widthOfString(text);
      this.#widths.set(key, ofOnePoint);
    }
    return ofOnePoint * size;
  }

  /** The printable lines of a text in a column. */
  wrap(text: string, width: number, style: TextStyle): readonly string[] {
    return wrapText(this.printable(text, style), width, (piece) => this.width(piece, style));
  }

  /** Printable text that fits, cut with an ellipsis where it does not. For headers, never for evidence. */
  fitted(text: string, width: number, style: TextStyle): string {
    const printable = this.printable(text, style).replaceAll('\n', ' ');
    return cutText(printable, width, (piece) => this.width(piece, style));
  }

  /** Draws one line of printable text with its baseline at y; x is its left edge, middle or right edge. */
  text(
    text: string,
    x: number,
    y: number,
    style: TextStyle,
    anchor: 'left' | 'middle' | 'right' = 'left',
  ): void {
    if (text === '') return;
    const width = anchor === 'left' ? 0 : this.width(text, style);
    const left = anchor === 'left' ? x : anchor === 'right' ? x - width : x - width / 2;
    this.#document
      .font(style.bold === true ? 'bold' : 'regular')
      .fontSize(style.size)
      .fillColor(style.colour ?? inks.text)
      .text(text, left, y, { lineBreak: false, baseline: 'alphabetic' });
  }

  line(from: readonly [number, number], to: readonly [number, number], colour: string, width = 0.5): void {
    this.#document
      .lineWidth(width)
      .moveTo(...from)
      .lineTo(...to)
      .stroke(colour);
  }

  rectangle(x: number, y: number, width: number, height: number, fill: string): void {
    this.#document.rect(x, y, width, height).fill(fill);
  }

  frame(x: number, y: number, width: number, height: number, colour: string, lineWidth = 0.5): void {
    this.#document.lineWidth(lineWidth).rect(x, y, width, height).stroke(colour);
  }

  /** Fills an area with slanted lines, so that it is told from its neighbours without colour. */
  hatch(x: number, y: number, width: number, height: number, colour: string): void {
    if (width <= 0) return;
    const document = this.#document;
    document.save().rect(x, y, width, height).clip().lineWidth(0.5);
    for (let offset = -height; offset < width; offset += 3.5) {
      document.moveTo(x + offset, y + height).lineTo(x + offset + height, y);
    }
    document.stroke(colour).restore();
  }

  polygon(points: readonly (readonly [number, number])[], fill: string): void {
    this.#document.polygon(...points.map(([x, y]) => [x, y])).fill(fill);
  }

  /** Many rectangles in one fill: the modules of a 2D code, without seams. */
  rectangles(parts: readonly (readonly [number, number, number, number])[], fill: string): void {
    for (const part of parts) this.#document.rect(...part);
    this.#document.fill(fill);
  }

  /** A status shape with its sign inside, in a square of `size` around its middle. */
  shape(shape: Shape, colour: string, x: number, y: number, size: number): void {
    const document = this.#document;
    const r = size / 2;
    const white = '#ffffff';
    const sign = (width: number) =>
      document
        .lineWidth(width * size)
        .lineCap('round')
        .lineJoin('round');
    document.save();
    switch (shape) {
      case 'disc':
        document.circle(x, y, r).fill(colour);
        sign(0.13)
          .moveTo(x - 0.5 * r, y)
          .lineTo(x - 0.1 * r, y + 0.42 * r)
          .lineTo(x + 0.55 * r, y - 0.4 * r);
        document.stroke(white);
        break;
      case 'square':
        document.rect(x - r, y - r, size, size).fill(colour);
        sign(0.13)
          .moveTo(x - 0.45 * r, y - 0.45 * r)
          .lineTo(x + 0.45 * r, y + 0.45 * r);
        document
          .moveTo(x + 0.45 * r, y - 0.45 * r)
          .lineTo(x - 0.45 * r, y + 0.45 * r)
          .stroke(white);
        break;
      case 'triangle':
        document.polygon([x, y - r], [x + r, y + r * 0.85], [x - r, y + r * 0.85]).fill(colour);
        sign(0.12)
          .moveTo(x, y - 0.3 * r)
          .lineTo(x, y + 0.25 * r)
          .stroke(white);
        document.circle(x, y + 0.58 * r, 0.12 * r).fill(white);
        break;
      case 'point-down':
        document.polygon([x, y + r], [x + r, y - r * 0.85], [x - r, y - r * 0.85]).fill(colour);
        sign(0.12)
          .moveTo(x - 0.35 * r, y - 0.4 * r)
          .lineTo(x + 0.35 * r, y - 0.4 * r)
          .stroke(white);
        break;
      case 'diamond':
        document.polygon([x, y - r], [x + r, y], [x, y + r], [x - r, y]).fill(colour);
        sign(0.12)
          .moveTo(x, y - 0.4 * r)
          .lineTo(x, y + 0.15 * r)
          .stroke(white);
        document.circle(x, y + 0.42 * r, 0.1 * r).fill(white);
        break;
      case 'ring':
        document
          .lineWidth(0.14 * size)
          .circle(x, y, 0.86 * r)
          .stroke(colour);
        break;
    }
    document.restore();
  }

  /** Large letters across the page, over everything and yet readable through. */
  watermark(text: string, page: PageSize): void {
    const style = { bold: true, size: 100 };
    const printable = this.printable(text, style);
    const diagonal = Math.hypot(page.width, page.height);
    const size = Math.min(110, (100 * diagonal * 0.72) / this.width(printable, style));
    const angle = (Math.atan2(page.height, page.width) * 180) / Math.PI;
    const [x, y] = [page.width / 2, page.height / 2];
    this.#document
      .save()
      .rotate(-angle, { origin: [x, y] })
      .opacity(0.16);
    this.text(printable, x, y + size * 0.36, { ...style, size, colour: inks.bad }, 'middle');
    this.#document.opacity(1).restore();
  }

  /** The bytes of the whole file. Nothing can be drawn afterwards. */
  finish(): Promise<Uint8Array> {
    return new Promise((resolve, reject) => {
      this.#document.on('end', () => resolve(Buffer.concat(this.#chunks)));
      this.#document.on('error', reject);
      this.#document.end();
    });
  }
}
