/** Reads an instrument's own time; null when the text has another form. */
export type StampReader = (text: string) => string | null;

const tokens: Readonly<Record<string, string>> = {
  yyyy: '(?<year>\\d{4})',
  yy: '(?<year>\\d{2})',
  mm: '(?<month>\\d{2})',
  dd: '(?<day>\\d{2})',
  HH: '(?<hour>\\d{2})',
  MM: '(?<minute>\\d{2})',
  SS: '(?<second>\\d{2})',
};

/**
 * Makes a reader for a form such as `yy/mm/dd,HH:MM:SS`; null when the form does not name date and time once
 * each. The result is ISO 8601 without zone, `2031-04-17T10:02:11`. Years of two digits are those of 20xx.
 */
export function parseStampFormat(format: string): StampReader | null {
  const names: readonly string[] = format.match(/yyyy|yy|mm|dd|HH|MM|SS/g) ?? [];
  const needed = ['mm', 'dd', 'HH', 'MM'];
  const years = names.filter((name) => name.startsWith('y')).length;
  if (years !== 1 || needed.some((name) => !names.includes(name)) || new Set(names).size !== names.length)
    return null;
  const source = format.replace(/yyyy|yy|mm|dd|HH|MM|SS|[\s\S]/g, (piece) => {
    // Instruments of one family write a comma or a semicolon between date and time.
    if (piece === ',' || piece === ';') return '[,;]';
    return tokens[piece] ?? piece.replace(/[^\w\s]/g, '\\$&');
  });
  const expression = new RegExp(`^${source}$`);
  return (text) => {
    const groups = expression.exec(text)?.groups;
    if (groups === undefined) return null;
    const { year = '', month = '', day = '', hour = '', minute = '', second } = groups;
    const seconds = second === undefined ? '' : `:${second}`;
    return `${year.length === 2 ? `20${year}` : year}-${month}-${day}T${hour}:${minute}${seconds}`;
  };
}
