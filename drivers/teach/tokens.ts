/** A piece of a line: a number with its sign, a word, or a single other character. Blanks lie between. */
export interface Token {
  readonly kind: 'number' | 'word' | 'mark';
  /** Of a number: digits and decimal sign, without sign. */
  readonly text: string;
  readonly sign: '' | '+' | '-';
  /** Blanks before the token; of a number with a sign, before the sign. */
  readonly blanksBefore: number;
  /** Blanks between sign and digits. */
  readonly blanksInside: number;
}

export interface TokenLine {
  readonly tokens: readonly Token[];
  readonly blanksBehind: number;
}

/** The decimal sign that a recording uses; a point wherever one stands between digits. */
export function guessDecimalSign(lines: readonly string[]): '.' | ',' {
  const points = lines.filter((line) => /\d\.\d/.test(line)).length;
  const commas = lines.filter((line) => /\d,\d/.test(line)).length;
  return commas > points ? ',' : '.';
}

/** Cuts a line into tokens. */
export function tokenise(line: string, decimalSign: '.' | ','): TokenLine {
  const number = decimalSign === '.' ? '\\d+(?:\\.\\d+)?' : '\\d+(?:,\\d+)?';
  const pattern = new RegExp(
    `( *)(?:(?<![A-Za-z0-9])([+-])( *)(${number})|(${number})|([A-Za-z%]+(?:\\.[A-Za-z]+)*)|([^ ]))`,
    'y',
  );
  const tokens: Token[] = [];
  let at = 0;
  for (;;) {
    pattern.lastIndex = at;
    const match = pattern.exec(line);
    if (match === null) break;
    const [whole, blanks = '', sign = '', inside = '', signed, unsigned, word, mark] = match;
    const digits = signed ?? unsigned;
    const kind = digits !== undefined ? 'number' : word !== undefined ? 'word' : 'mark';
    tokens.push({
      kind,
      text: digits ?? word ?? mark ?? '',
      sign: sign === '+' || sign === '-' ? sign : '',
      blanksBefore: blanks.length,
      blanksInside: inside.length,
    });
    at += whole.length;
  }
  return { tokens, blanksBehind: line.length - at };
}

/** What lines of one kind have in common: the order of their tokens, other characters by themselves. */
export function shapeOf({ tokens }: TokenLine): string {
  return tokens.map(({ kind, text }) => (kind === 'number' ? '#' : kind === 'word' ? 'w' : text)).join(' ');
}
