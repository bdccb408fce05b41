import type { Column, ReadingLines } from './columns.ts';
import type { ColumnRoles } from './lesson.ts';

/** The whole-line pattern of the columns. Blanks before numbers are free, because numbers are padded to a width. */
export function patternOf(
  { columns, hasBlanksBehind }: ReadingLines,
  roles: ColumnRoles & { readonly flag: number },
  decimal: '.' | ',',
): string {
  const parts = columns.map((column, at) => {
    if (at === roles.value) return `(?: *(?<sign>[+-]))? *(?<value>${digitsOf(column, decimal)})`;
    if (column.kind === 'number') {
      const name =
        columns[at + 1]?.values[0] === 'deg' || columns[at + 2]?.values[0] === 'deg'
          ? 'angle'
          : `number${at}`;
      return ` *(?<${name}>[+-]?${digitsOf(column, decimal)})`;
    }
    if (at === roles.unit) return `${blanksOf(column)}(?<unit>[A-Za-z%.]{1,8})`;
    if (at === roles.flag) return `${blanksOf(column)}(?<flag>${choiceOf(column)})`;
    const text = column.values.length === 1 ? choiceOf(column) : `(?<text${at}>${choiceOf(column)})`;
    return column.isOptional ? `(?:${blanksOf(column)}${text})?` : `${blanksOf(column)}${text}`;
  });
  const mayEndInBlanks = hasBlanksBehind || columns.at(-1)?.isOptional === true;
  return `^${parts.join('')}${mayEndInBlanks ? ' *' : ''}$`;
}

/** The texts seen, the empty one last. */
function choiceOf({ values, isOptional }: Column): string {
  const texts = values.filter((text) => text !== '').map(literal);
  return [...texts, ...(isOptional ? [''] : [])].join('|');
}

/** Digits as seen: a fixed number of decimals where it never changed, a fixed width of whole numbers likewise. */
function digitsOf({ values }: Column, decimal: '.' | ','): string {
  const sign = decimal === '.' ? '\\.' : ',';
  const decimals = new Set(
    values.filter((text) => text !== '').map((text) => text.split(/[.,]/)[1]?.length ?? 0),
  );
  const widths = new Set(values.map((text) => text.length));
  const [only] = decimals;
  if (decimals.size !== 1 || only === undefined) return `\\d+(?:${sign}\\d+)?`;
  if (only > 0) return `\\d+${sign}\\d{${only}}`;
  const [width] = widths;
  return widths.size === 1 && values.length > 1 && width !== undefined ? `\\d{${width}}` : '\\d+';
}

function blanksOf({ blanksBefore: { least, most }, isOptional }: Column): string {
  if (isOptional) return ' *';
  if (most === 0) return '';
  if (least === 1 && most === 1) return ' ';
  return least === most ? ` {${most}}` : ` {${least},${most}}`;
}

function literal(text: string): string {
  return text.replace(/[\\^$.*+?()[\]{}|/]/g, '\\$&');
}
