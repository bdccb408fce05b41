import fc from 'fast-check';
import { expect, test } from 'vitest';
import { standardFonts } from '../../../electron/station/documents/document-fonts.ts';
import { type CodeModules, serialCode } from '../../../electron/station/documents/serial-code.ts';
import { tagLabel } from '../../../electron/station/documents/tag-label.ts';
import { drawTagLabel } from '../../../electron/station/documents/tag-label-pdf.ts';
import { cleanJob, jobEvents, sourceOf, troubledJob } from './invented-service.ts';
import { readCodewords } from './read-data-matrix.ts';
import { layoutFaults, readPdf } from './read-pdf.ts';

const released = sourceOf(jobEvents({}, cleanJob));

test('the tag shows serial, head, decision, date, next service and the record', async () => {
  const bytes = await drawTagLabel(tagLabel(released, 'en'), standardFonts);
  const { pages, text } = await readPdf(bytes);
  // 62 mm × 40 mm.
  expect([pages[0]!.width, pages[0]!.height].map((points) => (points * 25.4) / 72)).toEqual([
    expect.closeTo(62, 2),
    expect.closeTo(40, 2),
  ]);
  for (const part of [
    'INV-7-000123',
    'Right-angle head, invented size 7',
    'RELEASED',
    '2026-11-25',
    'Next service 2027-11-25',
    released.proof!.hash.slice(0, 16),
  ]) {
    expect(text).toContain(part);
  }
  expect(text).not.toContain('SIMULATED');
});

test('the tag of a simulated job says so', async () => {
  const source = sourceOf(jobEvents({ simulated: true }, troubledJob));
  const { text } = await readPdf(await drawTagLabel(tagLabel(source, 'de'), standardFonts));
  expect(text).toContain('SIMULATED');
  expect(text).toContain('FREIGEGEBEN MIT SONDERFREIGABE');
});

test('the tag of a job that is not released promises no next service', async () => {
  const source = sourceOf(
    jobEvents({}, [...cleanJob, { kind: 'jobVoided', reason: 'Wrong serial.', secondPersonId: 'person-2' }]),
  );
  const { text } = await readPdf(await drawTagLabel(tagLabel(source, 'en'), standardFonts));
  expect(text).toContain('VOID');
  expect(text).not.toContain('Next service');
});

test('the same job always gives the same tag', async () => {
  const draw = () => drawTagLabel(tagLabel(released, 'en'), standardFonts);
  expect(Buffer.compare(await draw(), await draw())).toBe(0);
});

test('serials of any length fit on the tag', async () => {
  for (const length of [1, 2, 12, 25, 40, 60]) {
    const source = sourceOf(jobEvents({ serial: 'W'.repeat(length), simulated: true }, cleanJob));
    const pdf = await readPdf(await drawTagLabel(tagLabel(source, 'de'), standardFonts));
    expect(layoutFaults(pdf)).toEqual([]);
    expect(pdf.text.replaceAll(' ', '')).toContain('W'.repeat(length));
  }
});

test('the code is Data Matrix as in the worked example of the standard', () => {
  // ISO/IEC 16022:2006, annex O, encodation example "123456" (from memory): data 142 164 186, correction after it.
  const codewords = readCodewords(serialCode('123456'));
  expect(codewords).toEqual([142, 164, 186, 114, 25, 5, 88, 102]);
});

test('the code on the tag is the code of the serial, module by module, with its quiet zone', async () => {
  const bytes = await drawTagLabel(tagLabel(released, 'en'), standardFonts);
  expect(modulesOnTag(bytes)).toEqual(drawn(serialCode('INV-7-000123')));
});

test('every serial that can be typed gets a code with its finder pattern', () => {
  const serials = fc.stringMatching(/^[\x21-\x7e]([\x20-\x7e]{0,58}[\x21-\x7e])?$/);
  fc.assert(
    fc.property(serials, (serial) => {
      const code = serialCode(serial);
      const last = code.rows - 1;
      for (let index = 0; index < code.columns; index++) {
        if (!code.isDark(0, index) || !code.isDark(index, last)) return false;
        if (code.isDark(index, 0) !== (index % 2 === 0)) return false;
      }
      return code.rows === code.columns;
    }),
    { numRuns: 60 },
  );
});

/** Dark modules as `column,row`. */
function drawn(code: CodeModules): readonly string[] {
  const dark: string[] = [];
  for (let row = 0; row < code.rows; row++) {
    for (let column = 0; column < code.columns; column++) {
      if (code.isDark(column, row)) dark.push(`${column},${row}`);
    }
  }
  return dark;
}

/** The small squares of the page, which is stored uncompressed, as modules one quiet module inside the edge. */
function modulesOnTag(bytes: Uint8Array): readonly string[] {
  const text = Buffer.from(bytes).toString('latin1');
  const squares = [...text.matchAll(/^([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+) re$/gm)]
    .map((match) => match.slice(1).map(Number))
    .filter(([, , width, height]) => width === height);
  const size = squares[0]![2]!;
  const edge = (2 * 72) / 25.4 + size;
  return squares.map(([x, y]) => `${Math.round((x! - edge) / size)},${Math.round((y! - edge) / size)}`);
}
