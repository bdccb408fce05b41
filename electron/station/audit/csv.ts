import { stringify } from 'csv-stringify/sync';

/** How numbers and columns are written: `iso` with point and comma, `comma` with decimal comma and semicolon. */
export type CsvStyle = 'iso' | 'comma';

/** The style that spreadsheets of a language expect. */
export function csvStyleOf(locale: string): CsvStyle {
  const parts = new Intl.NumberFormat(locale).formatToParts(1.5);
  return parts.some(({ type, value }) => type === 'decimal' && value === ',') ? 'comma' : 'iso';
}

/** Columns of canonical decimal text: numbers that keep the decimals that were shown, `59.80`. */
const decimalColumns: ReadonlySet<unknown> = new Set(['indication', 'tare']);

/**
 * Rows as CSV text (RFC 4180, CR LF). Texts that a spreadsheet would run as a formula get an apostrophe in front;
 * numbers never do.
 *
 * @param header whether the names of the columns come first
 */
export function csvOf(
  rows: readonly Readonly<Record<string, string | number | null>>[],
  columns: readonly string[],
  style: CsvStyle,
  header: boolean,
): string {
  const decimal = (text: string) => (style === 'comma' ? text.replace('.', ',') : text);
  return stringify([...rows], {
    header,
    columns: [...columns],
    delimiter: style === 'comma' ? ';' : ',',
    record_delimiter: '\r\n',
    cast: {
      number: (value) => decimal(String(value)),
      string: (text, { column }) =>
        decimalColumns.has(column) && /^-?\d+(\.\d+)?$/.test(text) ? decimal(text) : withoutFormula(text),
    },
  });
}

/** What begins like a formula for a spreadsheet, in any width of its letters, gets an apostrophe in front. */
function withoutFormula(text: string): string {
  return /^[=+\-@\t\r\uff1d\uff0b\uff0d\uff20]/.test(text) ? `'${text}` : text;
}
