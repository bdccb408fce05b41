/** Reads an instrument's own time; null when the text has another form. */
export type StampReader = (text: string) => string | null;

const digitsOf: Readonly<Record<string, number>> = { yyyy: 4, yy: 2, mm: 2, dd: 2, HH: 2, MM: 2, SS: 2 };

/**
 * Makes a reader for a form such as `yy/mm/dd,HH:MM:SS`; null when the form does not name date and time once
 * each. The result is ISO 8601 without zone, `2031-04-17T10:02:11`. Years of two digits are those of 20xx.
 */
export function parseStampFormat(format: string): StampReader | null {
  const names: readonly string[] = format.match(/yyyy|yy|mm|dd|HH|MM|SS/g) ?? [];
  const needed = ['mm', 'dd', 'HH', 'MM'];
  const years = names.filter((name) => name.startsWith('y')).length;
  const isComplete = years === 1 && needed.every((name) => names.includes(name));
  if (!isComplete || new Set(names).size !== names.length) return null;
  const places = new Map<string, number>();
  let at = 0;
  const source = format.replace(/yyyy|yy|mm|dd|HH|MM|SS|[\s\S]/g, (piece) => {
    const width = digitsOf[piece] ?? 1;
    places.set(piece, at);
    at += width;
    if (piece in digitsOf) return `\\d{${width}}`;
    // Instruments of one family write a comma or a semicolon between date and time.
    return piece === ',' || piece === ';' ? '[,;]' : piece.replace(/[^\w\s]/, '\\$&');
  });
  const shape = new RegExp(`^${source}$`);
  // Every part has a fixed width, so the parts lie at fixed places.
  const part = (name: string) => {
    const from = places.get(name) ?? 0;
    return [from, from + (digitsOf[name] ?? 0)] as const;
  };
  const century = names.includes('yyyy') ? '' : '20';
  const [[y, yEnd], [m, mEnd], [d, dEnd]] = [part(century === '' ? 'yyyy' : 'yy'), part('mm'), part('dd')];
  const [[hour, hourEnd], [minute, minuteEnd], [second, secondEnd]] = [part('HH'), part('MM'), part('SS')];
  const hasSeconds = names.includes('SS');
  return (text) => {
    if (!shape.test(text)) return null;
    const date = `${century}${text.slice(y, yEnd)}-${text.slice(m, mEnd)}-${text.slice(d, dEnd)}`;
    const seconds = hasSeconds ? `:${text.slice(second, secondEnd)}` : '';
    return `${date}T${text.slice(hour, hourEnd)}:${text.slice(minute, minuteEnd)}${seconds}`;
  };
}
