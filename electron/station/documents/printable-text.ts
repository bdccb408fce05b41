/** Which characters a font has. */
export type HasLetter = (codePoint: number) => boolean;

/** What may stand for a sign without a change of meaning where a font lacks the sign itself. */
const substitutes: Readonly<Record<string, string>> = {
  '\u2212': '-',
  '\u2010': '-',
  '\u2011': '-',
  '\u2002': ' ',
  '\u2003': ' ',
  '\u2009': '\u00a0',
  '\u202f': '\u00a0',
  '\u2264': '<=',
  '\u2265': '>=',
  '\u2192': '->',
  '\u2190': '<-',
  '\u2032': "'",
  '\u2033': '"',
  '\u2126': 'Ohm',
  '\u2113': 'l',
};

/**
 * Scripts that are written from right to left. Lines are set from left to right here, which would put their letters
 * in the wrong order: honest code points instead.
 */
const rightToLeft =
  /[\p{Script=Arabic}\p{Script=Hebrew}\p{Script=Syriac}\p{Script=Thaana}\p{Script=Nko}\p{Script=Samaritan}\p{Script=Mandaic}]/u;
/** Controls, direction marks, unassigned and private characters: never drawn, always named. */
const unprintable = /\p{C}/u;
/** Says how the character before it looks, and nothing else. */
const variationSelector = /[\ufe0e\ufe0f]/u;

/**
 * Text that a font can show: what it lacks stands as code points in brackets, `[U+2603]`, never as a wrong sign and
 * never left out. Line feeds stay; tabs become spaces.
 */
export function printableText(text: string, hasLetter: HasLetter): string {
  let printable = '';
  const normal = text
    .toWellFormed()
    .normalize('NFC')
    .replaceAll(/\r\n?|[\u2028\u2029]/g, '\n')
    .replaceAll('\t', '    ');
  for (const character of normal) printable += printableCharacter(character, hasLetter);
  return printable;
}

function printableCharacter(character: string, hasLetter: HasLetter): string {
  if (character === '\n') return character;
  if (variationSelector.test(character)) return '';
  const codePoint = character.codePointAt(0) ?? 0;
  const isSettable = !unprintable.test(character) && !rightToLeft.test(character);
  if (isSettable && hasLetter(codePoint)) return character;
  return substitutes[character] ?? `[U+${codePoint.toString(16).toUpperCase().padStart(4, '0')}]`;
}

/** Windows code page 1252, 0x80 to 0x9f: what the standard fonts have besides Latin-1. */
const winAnsiExtra = new Set(Array.from('€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ', (sign) => sign.codePointAt(0)));

/** The letters of the standard PDF fonts (ISO 32000-1, annex D, WinAnsiEncoding). */
export function hasWinAnsiLetter(codePoint: number): boolean {
  return (
    (codePoint >= 0x20 && codePoint <= 0x7e) ||
    (codePoint >= 0xa0 && codePoint <= 0xff) ||
    winAnsiExtra.has(codePoint)
  );
}

/**
 * Breaks printable text into lines no wider than `width`: at line feeds, at spaces, and inside a word only where the
 * word alone is too wide. Always at least one line.
 *
 * @param widthOf width of a piece of text, in the unit of `width`
 */
export function wrapText(text: string, width: number, widthOf: (text: string) => number): readonly string[] {
  return text.split('\n').flatMap((paragraph) => wrapParagraph(paragraph.trimEnd(), width, widthOf));
}

function wrapParagraph(text: string, width: number, widthOf: (text: string) => number): readonly string[] {
  const lines: string[] = [];
  let line = '';
  // Measured word by word: a sum of words with their spaces is the width of the line but for kerning at spaces.
  let lineWidth = 0;
  for (const word of text.split(/(?<= )/)) {
    const wordWidth = widthOf(word.trimEnd());
    if (line !== '' && lineWidth + wordWidth > width) {
      lines.push(line.trimEnd());
      line = '';
      lineWidth = 0;
    }
    line += word;
    lineWidth += widthOf(word);
    while (widthOf(line.trimEnd()) > width) {
      const length = fittingLength(line, width, widthOf);
      if (length >= line.length) break;
      lines.push(line.slice(0, length));
      line = line.slice(length);
      lineWidth = widthOf(line);
    }
  }
  lines.push(line.trimEnd());
  return lines;
}

/** The text, or as much of it as fits before an ellipsis. */
export function cutText(text: string, width: number, widthOf: (text: string) => number): string {
  if (widthOf(text) <= width) return text;
  return `${text.slice(0, fittingLength(text, width - widthOf('…'), widthOf)).trimEnd()}…`;
}

/** How many UTF-16 units of a text fit, at least one character, never half a character. */
function fittingLength(text: string, width: number, widthOf: (text: string) => number): number {
  let low = 1;
  let high = text.length;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (widthOf(text.slice(0, middle)) <= width) low = middle;
    else high = middle - 1;
  }
  const next = text.charCodeAt(low);
  const isLowSurrogate = next >= 0xdc00 && next <= 0xdfff;
  return isLowSurrogate ? Math.max(low - 1, 2) : low;
}
