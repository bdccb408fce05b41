import { buildAutomaton, PatternTooComplicated, parsePattern } from './byte-automaton.ts';
import { analysePattern } from './pattern-analysis.ts';
import { estimateSteps } from './pattern-cost.ts';

/**
 * Greatest estimate of steps for one line that is taken. The estimate is an upper bound and some ten times too high,
 * so this is about a fifth of a second at worst. Patterns come from files that people hand to each other and must not
 * hang the station. Patterns whose cost grows with the square of the line stay possible where the line cap
 * (`frame.max_bytes`) keeps the product small; exponential ones never.
 */
const mostSteps = 2 ** 29;
const longestPattern = 600;

/** Says what is wrong with a regular expression and what to do, or null. Field names are the caller's. */
export function findPatternFault(source: string, maxBytes: number): string | null {
  if (source.length > longestPattern)
    return `is longer than ${longestPattern} characters; describe fewer columns`;
  for (const [found, character] of source.matchAll(/\\(.)/gs)) {
    if (/[A-Za-z]/.test(character ?? '') && !/[dDwWsSbBnrtfvxuck]/.test(character ?? '')) {
      return `holds the escape ${found}, which means nothing here; use JavaScript regular expressions`;
    }
  }
  if (deepestNesting(source) > 6) return 'nests groups more than 6 deep; write it flatter';
  try {
    new RegExp(source, 's');
    const steps = estimateSteps(buildAutomaton(parsePattern(source).alternatives), maxBytes);
    // scslre is asked second: it is a good second opinion but overlooks `(a|a)*`, and long patterns keep it busy.
    if (steps === Number.POSITIVE_INFINITY || (steps <= mostSteps && isExponentialBySecondOpinion(source))) {
      return 'could try exponentially many ways to read one line; remove the repetition inside a repetition';
    }
    if (steps > mostSteps) {
      return `could try too many ways to read a line of ${maxBytes} bytes; lower frame.max_bytes or let neighbouring repetitions take different characters`;
    }
    return null;
  } catch (error) {
    if (error instanceof PatternTooComplicated) return error.message;
    if (error instanceof SyntaxError)
      return `is not a regular expression (${error.message.split(': ').at(-1)})`;
    throw error;
  }
}

/** Matches from the first character on, but not necessarily to the last. */
export function compileStart(source: string): RegExp {
  return new RegExp(`^(?:${source})`, 's');
}

/** Matches the whole line or not at all. */
export function compileWhole(source: string): RegExp {
  return new RegExp(`^(?:${source})$`, 's');
}

/** Names of the named groups, in order. */
export function groupNames(source: string): string[] {
  return withoutNames(source).names.filter((name) => name !== '');
}

/**
 * The same expression with plain groups, and the name of each group by its number (empty for a group without
 * one). Named groups cost a backtracking match about as much again, because each match builds an object.
 */
export function withoutNames(source: string): { readonly source: string; readonly names: readonly string[] } {
  const names: string[] = [''];
  const plain = source.replace(
    /\\[\s\S]|\[(?:\\[\s\S]|[^\]\\])*\]|\(\?<([A-Za-z]\w*)>|\((?!\?)/g,
    (piece, name: string | undefined) => {
      if (!piece.startsWith('(')) return piece;
      names.push(name ?? '');
      return '(';
    },
  );
  return { source: plain, names };
}

function isExponentialBySecondOpinion(source: string): boolean {
  return analysePattern({ source, flags: 'sy' }).reports.some((report) => report.exponential);
}

function deepestNesting(source: string): number {
  let depth = 0;
  let deepest = 0;
  for (const [bracket] of source.replace(/\\.|\[(?:\\.|[^\]])*\]/gs, '').matchAll(/[()]/g)) {
    depth += bracket === '(' ? 1 : -1;
    deepest = Math.max(deepest, depth);
  }
  return deepest;
}
