import { stringify } from 'csv-stringify/sync';

/** How numbers and columns are written: `iso` with point and comma, `comma` with decimal comma and semicolon. */
export type CsvStyle = 'iso' | 'comma';

/** The style that spreadsheets of a language expect. */
export function csvStyleOf(locale: string): CsvStyle {
  const parts = new Intl.NumberFormat(locale).formatToParts(1.5);
  return parts.some(({ type, value }) => type === 'decimal' && value === ',') ? 'comma' : 'iso';
}

/**
 * Rows as CSV text (RFC 4180, CR LF). Texts that a spreadsheet would run as a formula get an apostrophe in front.
 *
 * @param header whether the names of the columns come first
 */
export function csvOf(
  rows: readonly Readonly<Record<string, string | number | null>>[],
  columns: readonly string[],
  style: CsvStyle,
  header: boolean,
): string {
  return stringify([...rows], {
    header,
    columns: [...columns],
    delimiter: style === 'comma' ? ';' : ',',
    record_delimiter: '\r\n',
    escape_formulas: true,
    cast: {
      number: (value) => (style === 'comma' ? String(value).replace('.', ',') : String(value)),
    },
  });
}
