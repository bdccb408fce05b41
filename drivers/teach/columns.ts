import { shapeOf, type Token, type TokenLine } from './tokens.ts';

/** One column of the lines that carry a number. */
export interface Column {
  readonly kind: Token['kind'];
  /** The texts seen, each once, in the order of their coming; an empty one where the token may be missing. */
  readonly values: readonly string[];
  readonly isOptional: boolean;
  readonly blanksBefore: { readonly least: number; readonly most: number };
}

/** The lines of one shape, with one token that some of them may lack, as a question mark while unstable. */
export interface ReadingLines {
  readonly columns: readonly Column[];
  /** For each line of the recording its tokens by column, or null for a line of another shape. */
  readonly rows: readonly (readonly (Token | null)[] | null)[];
  readonly hasBlanksBehind: boolean;
}

/** Finds the shape that most lines with a number have. Null when no line has a number. */
export function findReadingLines(lines: readonly TokenLine[]): ReadingLines | null {
  const counts = new Map<string, number>();
  for (const line of lines) {
    const shape = shapeOf(line);
    if (shape.includes('#')) counts.set(shape, (counts.get(shape) ?? 0) + 1);
  }
  const ranked = [...counts].sort((a, b) => b[1] - a[1]).map(([shape]) => shape.split(' '));
  const [base] = ranked;
  if (base === undefined) return null;
  const { full, optionalAt } = withOptionalToken(base, ranked.slice(1));
  const rows = lines.map((line) => alignTokens(line, full, optionalAt));
  const columns = full.map((_, at) => describeColumn(rows, at, optionalAt));
  const hasBlanksBehind = lines.some((line, at) => rows[at] !== null && line.blanksBehind > 0);
  return { columns, rows, hasBlanksBehind };
}

/** Joins the commonest shape with the next one that has just one token more or less. */
function withOptionalToken(
  base: readonly string[],
  others: readonly (readonly string[])[],
): { readonly full: readonly string[]; readonly optionalAt: number } {
  for (const other of others) {
    const [full, short] = other.length > base.length ? [other, base] : [base, other];
    const at = placeOfExtra(full, short);
    if (at !== -1 && full[at] !== '#') return { full, optionalAt: at };
  }
  return { full: base, optionalAt: -1 };
}

/** Place of the one token that `full` has more than `short`; −1 when they differ otherwise. */
function placeOfExtra(full: readonly string[], short: readonly string[]): number {
  if (full.length !== short.length + 1) return -1;
  return full.findIndex((_, at) => full.toSpliced(at, 1).join(' ') === short.join(' '));
}

function alignTokens(
  line: TokenLine,
  full: readonly string[],
  optionalAt: number,
): readonly (Token | null)[] | null {
  const shape = shapeOf(line);
  if (shape === full.join(' ')) return line.tokens;
  if (optionalAt === -1 || shape !== full.toSpliced(optionalAt, 1).join(' ')) return null;
  return [...line.tokens.slice(0, optionalAt), null, ...line.tokens.slice(optionalAt)];
}

function describeColumn(rows: ReadingLines['rows'], at: number, optionalAt: number): Column {
  const cells = rows.flatMap((row) => (row === null ? [] : [row[at] ?? null]));
  const blanks = cells.flatMap((cell) => (cell === null ? [] : [cell.blanksBefore]));
  return {
    kind: cells.find((cell) => cell !== null)?.kind ?? 'mark',
    values: [...new Set(cells.map((cell) => cell?.text ?? ''))],
    isOptional: at === optionalAt,
    blanksBefore: { least: Math.min(...blanks), most: Math.max(...blanks) },
  };
}
