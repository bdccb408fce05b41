import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  hasWinAnsiLetter,
  printableText,
  wrapText,
} from '../../../electron/station/documents/printable-text.ts';

const printable = (text: string) => printableText(text, hasWinAnsiLetter);

test('letters that the font has stay as they are', () => {
  expect(printable('Größe 7, façade, 5 € „gut“ – 12 µm')).toBe('Größe 7, façade, 5 € „gut“ – 12 µm');
});

test('letters that the font lacks are named by their code points', () => {
  expect(printable('齿轮 ☃')).toBe('[U+9F7F][U+8F6E] [U+2603]');
  expect(printable('🔧')).toBe('[U+1F527]');
});

test('signs with an equal in meaning are replaced by it', () => {
  expect(printable('−5 ≤ x ≥ 3 → 4')).toBe('-5 <= x >= 3 -> 4');
});

test('direction marks and controls cannot turn a text round unseen', () => {
  expect(printable('pass\u202e\u0007')).toBe('pass[U+202E][U+0007]');
});

test('right-to-left letters are named, since lines are set from left to right', () => {
  expect(printableText('\u05d0', () => true)).toBe('[U+05D0]');
});

test('letters typed as base and accent are the same as the letter', () => {
  expect(printable('u\u0308ber')).toBe('über');
});

test('half a character is not passed on', () => {
  expect(printable('a\ud800b')).toBe('a[U+FFFD]b');
});

test('whatever is typed, only letters of the font come out', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), (text) => {
      const foreign = [...printable(text)].filter(
        (character) => character !== '\n' && !hasWinAnsiLetter(character.codePointAt(0)!),
      );
      expect(foreign).toEqual([]);
    }),
  );
});

test('wrapped lines fit and lose nothing but the space at their ends', () => {
  const letterWidth = (text: string) => [...text].length;
  fc.assert(
    fc.property(
      fc.string({ unit: 'grapheme', maxLength: 200 }),
      fc.integer({ min: 2, max: 30 }),
      (raw, width) => {
        const text = raw.replaceAll('\r', '');
        const lines = wrapText(text, width, letterWidth);
        expect(lines.length).toBeGreaterThan(0);
        for (const line of lines) expect(letterWidth(line)).toBeLessThanOrEqual(width);
        expect(lines.join('').replaceAll(/\s/g, '')).toBe(text.replaceAll(/\s/g, ''));
        expect(lines.every((line) => line.isWellFormed())).toBe(true);
      },
    ),
  );
});
