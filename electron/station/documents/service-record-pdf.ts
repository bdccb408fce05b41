import type { DocumentModel, Section } from './block.ts';
import { Canvas, inks, type PageSize, type TextStyle } from './canvas.ts';
import type { DocumentFonts } from './document-fonts.ts';
import { drawBlocks } from './draw-block.ts';
import { flowPages, type PlacedFragment } from './page-flow.ts';

export const papers = {
  /** ISO 216. */
  a4: { width: 595.28, height: 841.89 },
  /** ANSI/ASME Y14.1 A, 8.5 in × 11 in. */
  letter: { width: 612, height: 792 },
} as const satisfies Record<string, PageSize>;
export type Paper = keyof typeof papers;

/** Points from the edges of the page to what is printed. */
const margin = { side: 42, top: 58, bottom: 50 };

/**
 * Draws a document. The same model, paper and fonts always give the same bytes.
 */
export async function drawDocument(
  model: DocumentModel,
  options: { readonly paper: Paper; readonly fonts: DocumentFonts },
): Promise<Uint8Array> {
  const page = papers[options.paper];
  const canvas = new Canvas(model, options.fonts);
  const column = { canvas, left: margin.side, width: page.width - 2 * margin.side };
  const room = page.height - margin.top - margin.bottom;
  const sections = model.sections.map((section) => ({
    section,
    pages: flowPages(drawBlocks(column, section.blocks), room),
  }));
  const total = sections.reduce((sum, { pages }) => sum + pages.length, 0);
  let number = 0;
  for (const { section, pages } of sections) {
    for (const [index, placed] of pages.entries()) {
      number += 1;
      canvas.addPage(page);
      if (index === 0) canvas.addBookmark(section.title);
      drawPage(canvas, page, section, placed, model.page(number, total));
    }
  }
  return canvas.finish();
}

function drawPage(
  canvas: Canvas,
  page: PageSize,
  section: Section,
  placed: readonly PlacedFragment[],
  pageText: string,
): void {
  const right = page.width - margin.side;
  const width = right - margin.side;
  const style: TextStyle = { size: 7.5, colour: inks.quiet };
  const headerLeft = canvas.fitted(section.headerLeft, width * 0.48, { ...style, bold: true });
  canvas.text(headerLeft, margin.side, 36, { ...style, bold: true });
  canvas.text(canvas.fitted(section.headerRight, width * 0.48, style), right, 36, style, 'right');
  canvas.line([margin.side, 42], [right, 42], inks.hairline);
  for (const { fragment, top } of placed) fragment.draw(margin.top + top);
  const footer = page.height - 30;
  canvas.line([margin.side, footer - 11], [right, footer - 11], inks.hairline);
  const pageWidth = canvas.width(pageText, style) + 12;
  canvas.text(canvas.fitted(section.footerLeft, width * 0.4, style), margin.side, footer, style);
  const prevails = canvas.fitted(section.footerRight, width * 0.6 - pageWidth, style);
  canvas.text(prevails, right - pageWidth, footer, style, 'right');
  canvas.text(pageText, right, footer, style, 'right');
  if (section.watermark !== '') canvas.watermark(section.watermark, page);
}
