import fc from 'fast-check';
import { csvOf } from '../../../electron/station/audit/csv.ts';
import { hostileTexts } from '../mutation.ts';
import type { Surface } from '../surface.ts';

const columns = ['serial', 'note', 'value'] as const;

/** First characters that make a spreadsheet run a cell: OWASP, "CSV Injection" (from memory), and full-width forms. */
const runs = /^[=+\-@\t\r＝＋－＠]/;

/** Texts in exports that spreadsheets open. */
export const csvSurface: Surface = {
  name: 'CSV of hostile texts',
  holds: 'no cell runs as a formula, every text and number comes back by RFC 4180',
  async open() {
    const text = fc.oneof(
      fc.constantFrom(...hostileTexts),
      fc.string({ unit: 'binary' }),
      fc
        .tuple(fc.constantFrom('=', '+', '-', '@', '\t', '\r', '\n', '＝', ' ', "'"), fc.string())
        .map((pair) => pair.join('')),
    );
    const row = fc.record({
      serial: text,
      note: fc.option(text),
      value: fc.option(fc.double({ noNaN: true, noDefaultInfinity: true })),
    });
    const style = fc.constantFrom('iso' as const, 'comma' as const);
    return {
      property: fc.property(fc.array(row, { minLength: 1, maxLength: 5 }), style, (rows, chosen) => {
        const cells = parseCsv(csvOf(rows, columns, chosen, true), chosen === 'comma' ? ';' : ',');
        if (JSON.stringify(cells[0]) !== JSON.stringify(columns)) return false;
        if (cells.length !== rows.length + 1) throw new Error(`${cells.length} lines of ${rows.length} rows`);
        return rows.every((given, index) => {
          const [serial = '', note = '', value = ''] = cells[index + 1] ?? [];
          const read = chosen === 'comma' ? value.replace(',', '.') : value;
          return (
            !runs.test(serial) &&
            !runs.test(note) &&
            isSame(serial, given.serial) &&
            isSame(note, given.note ?? '') &&
            (given.value === null ? value === '' : Number(read) === given.value)
          );
        });
      }),
    };
  },
};

/** The text itself, or with the apostrophe that keeps it from running. */
function isSame(cell: string, text: string): boolean {
  return cell === text || (cell === `'${text}` && runs.test(text));
}

/** RFC 4180, section 2: quoted fields, doubled quotes, lines that end in CR LF. */
export function parseCsv(text: string, delimiter: string): string[][] {
  const lines: string[][] = [[]];
  let at = 0;
  while (at < text.length) {
    let cell = '';
    if (text[at] === '"') {
      at += 1;
      while (text[at] !== '"' || text[at + 1] === '"') {
        if (at >= text.length) throw new Error('a quoted field does not end');
        if (text[at] === '"') at += 1;
        cell += text[at];
        at += 1;
      }
      at += 1;
    } else {
      while (at < text.length && text[at] !== delimiter && !text.startsWith('\r\n', at)) {
        cell += text[at];
        at += 1;
      }
    }
    lines.at(-1)?.push(cell);
    if (text[at] === delimiter) {
      at += 1;
      if (at === text.length || text.startsWith('\r\n', at)) lines.at(-1)?.push('');
    }
    if (text.startsWith('\r\n', at)) {
      at += 2;
      if (at < text.length) lines.push([]);
    }
  }
  return lines;
}
