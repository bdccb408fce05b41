import { fileURLToPath } from 'node:url';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';

/** A piece of text where it stands, in points; y grows downwards from the top of the page. */
export interface PlacedText {
  readonly text: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly isUpright: boolean;
}

export interface ReadPage {
  readonly width: number;
  readonly height: number;
  /** Everything on it, with single spaces. */
  readonly text: string;
  readonly pieces: readonly PlacedText[];
}

export interface ReadPdf {
  readonly pages: readonly ReadPage[];
  /** All pages, one after the other. */
  readonly text: string;
  readonly info: Readonly<Record<string, unknown>>;
  readonly bookmarks: readonly string[];
}

const fontFolder = fileURLToPath(
  new URL('../../../node_modules/pdfjs-dist/standard_fonts/', import.meta.url),
);

/** Reads a PDF back with a reader that is not ours. */
export async function readPdf(bytes: Uint8Array): Promise<ReadPdf> {
  const document = await getDocument({
    data: new Uint8Array(bytes),
    standardFontDataUrl: fontFolder,
    verbosity: 0,
  }).promise;
  const pages: ReadPage[] = [];
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number);
    const { width, height } = page.getViewport({ scale: 1 });
    const { items } = await page.getTextContent({ disableNormalization: true });
    const pieces = items.flatMap((item) =>
      'str' in item && item.str.trim() !== '' ? [placedText(item, height)] : [],
    );
    pages.push({ width, height, pieces, text: plain(pieces.map(({ text }) => text).join(' ')) });
  }
  const { info } = await document.getMetadata();
  const outline = await document.getOutline();
  await document.loadingTask.destroy();
  return {
    pages,
    text: pages.map(({ text }) => text).join(' '),
    info: Object.fromEntries(Object.entries(info)),
    bookmarks: (outline ?? []).map(({ title }) => title),
  };
}

function placedText(item: { str: string; width: number; transform: number[] }, height: number): PlacedText {
  const [a = 0, b = 0, , , x = 0, y = 0] = item.transform;
  const size = Math.hypot(a, b);
  return {
    text: item.str,
    left: x,
    right: x + item.width,
    // Letters reach from about a fifth of their size below the baseline to three quarters above it.
    top: height - y - 0.7 * size,
    bottom: height - y + 0.15 * size,
    isUpright: Math.abs(b) < 1e-6,
  };
}

/** Text with every kind and number of spaces as one. */
export function plain(text: string): string {
  return text.replaceAll(/\s+/g, ' ').trim();
}

/** Pairs of upright texts that run into each other, and texts that leave the page: none on a page that is well set. */
export function layoutFaults(pdf: ReadPdf): readonly string[] {
  return pdf.pages.flatMap(({ pieces, width, height }, index) => {
    const upright = pieces.filter((piece) => piece.isUpright);
    const outside = upright
      .filter(
        ({ left, right, top, bottom }) => left < 5 || right > width - 5 || top < 5 || bottom > height - 5,
      )
      .map(({ text }) => `page ${index + 1}: "${text}" leaves the page`);
    const overlaps = upright.flatMap((one, place) =>
      upright.slice(place + 1).flatMap((other) => {
        const across = Math.min(one.right, other.right) - Math.max(one.left, other.left);
        const down = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
        return across > 0.6 && down > 0.6 ? [`page ${index + 1}: "${one.text}" over "${other.text}"`] : [];
      }),
    );
    return [...outside, ...overlaps];
  });
}
