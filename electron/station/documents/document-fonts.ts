import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

/** A typeface in two weights: one of the fonts that every PDF reader has, or font files to embed. */
export type DocumentFonts =
  | { readonly kind: 'standard'; readonly regular: 'Helvetica'; readonly bold: 'Helvetica-Bold' }
  | { readonly kind: 'embedded'; readonly regular: Uint8Array; readonly bold: Uint8Array };

/** Covers Western European letters only (WinAnsi). */
export const standardFonts: DocumentFonts = {
  kind: 'standard',
  regular: 'Helvetica',
  bold: 'Helvetica-Bold',
};

/** Covers Latin, Greek, Cyrillic, Armenian, Georgian and many signs; free to embed. */
const fontFiles = {
  regular: 'dejavu-fonts-ttf/ttf/DejaVuSansCondensed.ttf',
  bold: 'dejavu-fonts-ttf/ttf/DejaVuSansCondensed-Bold.ttf',
};

let found: DocumentFonts | undefined;

/** The fonts of this installation: the font package where it is installed, else the standard ones. */
export function findDocumentFonts(): DocumentFonts {
  found ??= installedFonts() ?? standardFonts;
  return found;
}

function installedFonts(): DocumentFonts | undefined {
  const { resolve } = createRequire(import.meta.url);
  try {
    return {
      kind: 'embedded',
      regular: readFileSync(resolve(fontFiles.regular)),
      bold: readFileSync(resolve(fontFiles.bold)),
    };
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'MODULE_NOT_FOUND') return undefined;
    throw error;
  }
}
