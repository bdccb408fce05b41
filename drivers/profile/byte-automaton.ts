import { analysePattern, type PatternAnalysis } from './pattern-analysis.ts';

/**
 * The position automaton (Glushkov) of a regular expression over bytes. It keeps how many ways lead along an
 * edge, because a backtracking matcher walks each of them. Assertions count as matching nothing, which can only
 * add ways; bounded repetitions such as `{4,7}` count as unbounded ones, so that `(\d{1,30}){1,30}` is seen for
 * what it costs.
 */
export interface ByteAutomaton {
  /** Which of the 256 bytes each position takes. Position 0 is the start and takes none. */
  readonly bytes: readonly ByteSet[];
  /** Followers of each position and the number of ways to each. */
  readonly followers: readonly ReadonlyMap<number, number>[];
  /** The greatest number of ways to leave the expression from one place. */
  readonly exits: number;
  /** The look-ahead and look-behind parts, each an automaton of its own. */
  readonly assertions: readonly ByteAutomaton[];
}

/** A set of byte values: bit n stands for the byte n. */
export type ByteSet = bigint;

/** Why no automaton was built; the sentence stands behind the name of the field. */
export class PatternTooComplicated extends Error {
  override readonly name = 'PatternTooComplicated';
}

type Pattern = PatternAnalysis['parsed']['pattern'];
type Alternative = Pattern['alternatives'][number];
type Element = Alternative['elements'][number];
type Quantifier = Extract<Element, { type: 'Quantifier' }>;

/** A part of the expression: ways to match nothing, where it can begin and end, each with its number of ways. */
interface Part {
  readonly empty: number;
  readonly first: ReadonlyMap<number, number>;
  readonly last: ReadonlyMap<number, number>;
}

const mostPositions = 600;
const mostWays = 1e6;
const nothing: Part = { empty: 1, first: new Map(), last: new Map() };
const byteSets = new Map<string, ByteSet>();

/** Parses an expression, without analysis. Throws SyntaxError. */
export function parsePattern(source: string): Pattern {
  return analysePattern({ source, flags: 's' }, { maxReports: 0 }).parsed.pattern;
}

/** Builds the automaton of a parsed expression or of a part of it. Throws PatternTooComplicated. */
export function buildAutomaton(alternatives: readonly Alternative[]): ByteAutomaton {
  const bytes: ByteSet[] = [0n];
  const followers: Map<number, number>[] = [new Map()];
  const assertions: ByteAutomaton[] = [];

  function addPosition(raw: string): Part {
    if (bytes.length > mostPositions)
      throw new PatternTooComplicated('is too long; write it with fewer columns');
    const position = bytes.length;
    bytes.push(bytesOf(raw));
    followers.push(new Map());
    return { empty: 0, first: new Map([[position, 1]]), last: new Map([[position, 1]]) };
  }

  function join(last: ReadonlyMap<number, number>, first: ReadonlyMap<number, number>): void {
    for (const [from, waysOut] of last) {
      const edges = followers[from];
      if (edges === undefined) continue;
      for (const [to, waysIn] of first) {
        edges.set(to, Math.min(mostWays, (edges.get(to) ?? 0) + waysOut * waysIn));
      }
    }
  }

  function either(parts: readonly Part[]): Part {
    return {
      empty: Math.min(
        mostWays,
        parts.reduce((sum, part) => sum + part.empty, 0),
      ),
      first: parts.reduce((sum, part) => plus(sum, part.first), new Map()),
      last: parts.reduce((sum, part) => plus(sum, part.last), new Map()),
    };
  }

  function both(left: Part, right: Part): Part {
    join(left.last, right.first);
    return {
      empty: Math.min(mostWays, left.empty * right.empty),
      first: plus(left.first, times(right.first, left.empty)),
      last: plus(right.last, times(left.last, right.empty)),
    };
  }

  function ofAlternatives(list: readonly Alternative[]): Part {
    return either(
      list.map((alternative) =>
        alternative.elements.reduce((left, next) => both(left, ofElement(next)), nothing),
      ),
    );
  }

  function repeated(quantifier: Quantifier): Part {
    const { min, max, element } = quantifier;
    if (Number.isFinite(max) && max > 1000) throw new PatternTooComplicated('repeats more than 1000 times');
    if (max === 0) return nothing;
    const isGroup = element.type === 'Group' || element.type === 'CapturingGroup';
    const copies = min <= 128 ? min : 1;
    let part = nothing;
    for (let copy = 0; copy < copies; copy += 1) part = both(part, ofElement(element));
    if (copies === max) return part;
    // Few repetitions of a group are written out; `(?: *\d+){1,3}` is no endless loop.
    if (isGroup && copies === min && max <= 4) return both(part, optional(element, max - min));
    const rest = ofElement(element);
    join(rest.last, rest.first);
    return both(part, { empty: 1, first: rest.first, last: rest.last });
  }

  /** The element at most `most` times, as `(x(x(x)?)?)?`. */
  function optional(element: Element, most: number): Part {
    const rest = most > 1 ? both(ofElement(element), optional(element, most - 1)) : ofElement(element);
    return { empty: 1, first: rest.first, last: rest.last };
  }

  function ofElement(element: Element): Part {
    switch (element.type) {
      case 'Group':
      case 'CapturingGroup':
        return ofAlternatives(element.alternatives);
      case 'Quantifier':
        return repeated(element);
      case 'Assertion':
        if (element.kind === 'lookahead' || element.kind === 'lookbehind') {
          assertions.push(buildAutomaton(element.alternatives));
        }
        return nothing;
      case 'Backreference':
        throw new PatternTooComplicated('refers back to a group; write the columns out instead');
      default:
        return addPosition(element.raw);
    }
  }

  const whole = ofAlternatives(alternatives);
  join(new Map([[0, 1]]), whole.first);
  return { bytes, followers, exits: Math.max(1, whole.empty, ...whole.last.values()), assertions };
}

function plus(a: ReadonlyMap<number, number>, b: ReadonlyMap<number, number>): Map<number, number> {
  const sum = new Map(a);
  for (const [position, ways] of b) sum.set(position, Math.min(mostWays, (sum.get(position) ?? 0) + ways));
  return sum;
}

function times(a: ReadonlyMap<number, number>, factor: number): Map<number, number> {
  if (factor === 0) return new Map();
  return new Map([...a].map(([position, ways]) => [position, Math.min(mostWays, ways * factor)]));
}

/** The bytes that one character, class or escape takes, found by trying all 256. */
function bytesOf(raw: string): ByteSet {
  const known = byteSets.get(raw);
  if (known !== undefined) return known;
  const expression = new RegExp(`^(?:${raw})$`, 's');
  let set = 0n;
  for (let byte = 0; byte < 256; byte += 1) {
    if (expression.test(String.fromCharCode(byte))) set |= 1n << BigInt(byte);
  }
  if (byteSets.size < 1000) byteSets.set(raw, set);
  return set;
}
