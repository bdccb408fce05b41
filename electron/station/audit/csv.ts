import { stringify } from 'csv-stringify/sync';

/** How numbers and columns are written: `iso` with point and comma, `comma` with decimal comma and semicolon. */
export type CsvStyle = 'iso' | 'comma';

/** The style that spreadsheets of a language expect. */
export function csvStyleOf(locale: string): CsvStyle {
  const parts = new Intl.NumberFormat(locale).formatToParts(1.5);
  return parts.some(({ type, value }) => type === 'decimal' && value === ',') ? 'comma' : 'iso';
}

/** Columns of canonical decimal text: numbers that keep the decimals that were shown, `59.80`. */
const decimalColumns: ReadonlySet<string> = new Set(['indication', 'tare']);

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
  const cell = (value: string | number | null | undefined, column: string) => {
    if (typeof value === 'number') return decimal(String(value));
    if (typeof value !== 'string') return '';
    return decimalColumns.has(column) && /^-?\d+(\.\d+)?$/.test(value)
      ? decimal(value)
      : withoutFormula(value);
  };
  // Lists of finished texts, so that the library need not look up and cast each cell.
  const lines = rows.map((row) => columns.map((column) => cell(row[column], column)));
  return stringify(header ? [[...columns], ...lines] : lines, {
    delimiter: style === 'comma' ? ';' : ',',
    record_delimiter: '\r\n',
  });
}

/** What begins like a formula for a spreadsheet, in any width of its letters, gets an apostrophe in front. */
function withoutFormula(text: string): string {
  return /^[=+\-@\t\r\uff1d\uff0b\uff0d\uff20]/.test(text) ? `'${text}` : text;
}
