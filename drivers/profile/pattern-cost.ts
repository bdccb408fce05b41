import { type ByteAutomaton, type ByteSet, PatternTooComplicated } from './byte-automaton.ts';

/** More are no description of an instrument's line, and would take long to compare. */
const mostLoops = 60;

/**
 * Upper estimate of the steps that a backtracking matcher needs for one line of at most `maxBytes` bytes;
 * Infinity where the number of ways grows exponentially with the line.
 *
 * After Weber and Seidl, "On the degree of ambiguity of finite automata" (1991): the ways to read a word grow
 * exponentially if a loop can be walked along two paths by the same word, and otherwise like n to the number of
 * loops that can hand bytes to each other one after the other. That degree is over-estimated here (loops are
 * compared by the bytes they take), never under-estimated.
 */
export function estimateSteps(automaton: ByteAutomaton, maxBytes: number): number {
  const loops = findLoops(automaton);
  if (loops.length > mostLoops || loops.some((loop) => loop.length > mostLoops)) {
    throw new PatternTooComplicated('repeats too many columns; describe fewer');
  }
  if (loops.some((loop) => isAmbiguous(automaton, loop))) return Number.POSITIVE_INFINITY;
  const degree = longestHandOver(automaton, loops);
  const looping = new Set(loops.flat());
  let ways = automaton.exits;
  for (const [position, edges] of automaton.followers.entries()) {
    if (!looping.has(position)) ways *= mostWaysForOneByte(automaton, edges);
  }
  const own = automaton.bytes.length * maxBytes ** degree * ways;
  return automaton.assertions.reduce((steps, inner) => steps + own * estimateSteps(inner, maxBytes), own);
}

/** Positions that lie on cycles, in groups that reach each other (Tarjan's strongly connected components). */
function findLoops({ followers }: ByteAutomaton): number[][] {
  const order = new Map<number, number>();
  const low: number[] = [];
  const open: number[] = [];
  const isOpen = new Set<number>();
  const loops: number[][] = [];

  function visit(position: number): void {
    const number = order.size;
    order.set(position, number);
    low[position] = number;
    open.push(position);
    isOpen.add(position);
    for (const next of followers[position]?.keys() ?? []) {
      if (!order.has(next)) visit(next);
      if (isOpen.has(next)) low[position] = Math.min(low[position] ?? 0, low[next] ?? 0);
    }
    if (low[position] !== number) return;
    const group = open.splice(open.indexOf(position));
    for (const member of group) isOpen.delete(member);
    if (group.length > 1 || followers[position]?.has(position)) loops.push(group);
  }

  visit(0);
  return loops;
}

/** Whether one word can lead round the loop along two different paths. */
function isAmbiguous({ bytes, followers }: ByteAutomaton, loop: readonly number[]): boolean {
  const members = new Set(loop);
  const inside = (position: number) =>
    [...(followers[position] ?? [])]
      .filter(([next]) => members.has(next))
      .map(([next, ways]) => ({ next, ways }));
  if (loop.some((position) => inside(position).some(({ ways }) => ways > 1))) return true;

  const size = bytes.length;
  const forward = new Map<number, number[]>();
  const backward = new Map<number, number[]>();
  for (const left of loop) {
    for (const right of loop) {
      const targets: number[] = [];
      for (const a of inside(left)) {
        for (const b of inside(right)) {
          if (((bytes[a.next] ?? 0n) & (bytes[b.next] ?? 0n)) === 0n) continue;
          const target = a.next * size + b.next;
          targets.push(target);
          backward.set(target, [...(backward.get(target) ?? []), left * size + right]);
        }
      }
      forward.set(left * size + right, targets);
    }
  }
  const equalPairs = loop.map((position) => position * size + position);
  const reached = reach(equalPairs, forward);
  const returning = reach(equalPairs, backward);
  return [...reached].some((pair) => Math.floor(pair / size) !== pair % size && returning.has(pair));
}

function reach(from: readonly number[], edges: ReadonlyMap<number, readonly number[]>): Set<number> {
  const seen = new Set(from);
  const waiting = [...from];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    for (const target of edges.get(next) ?? []) {
      if (seen.has(target)) continue;
      seen.add(target);
      waiting.push(target);
    }
  }
  return seen;
}

/**
 * The exponent of the line length: one for walking the line, one more for each loop that can take bytes from the
 * loop before it without any byte of another kind between them.
 */
function longestHandOver(automaton: ByteAutomaton, loops: readonly number[][]): number {
  const alphabets = loops.map((loop) =>
    loop.reduce((sum, member) => sum | (automaton.bytes[member] ?? 0n), 0n),
  );
  const lengths = new Map<number, number>();
  function lengthFrom(index: number): number {
    const known = lengths.get(index);
    if (known !== undefined) return known;
    let longest = 1;
    for (const [other, alphabet] of alphabets.entries()) {
      const shared = alphabet & (alphabets[index] ?? 0n);
      if (other === index || shared === 0n || !handsOver(automaton, loops, index, other, shared)) continue;
      longest = Math.max(longest, 1 + lengthFrom(other));
    }
    lengths.set(index, longest);
    return longest;
  }
  return Math.max(0, ...loops.map((_, index) => lengthFrom(index)));
}

function handsOver(
  { bytes, followers }: ByteAutomaton,
  loops: readonly number[][],
  from: number,
  to: number,
  shared: ByteSet,
): boolean {
  const edges = new Map<number, readonly number[]>(
    followers.map((targets, position) => [
      position,
      [...targets.keys()].filter((next) => ((bytes[next] ?? 0n) & shared) !== 0n),
    ]),
  );
  const reached = reach(loops[from] ?? [], edges);
  return (loops[to] ?? []).some((position) => reached.has(position));
}

/** The greatest number of ways along which one byte can go on from a position. */
function mostWaysForOneByte({ bytes }: ByteAutomaton, edges: ReadonlyMap<number, number>): number {
  const ways = new Float64Array(256);
  for (const [next, count] of edges) {
    const set = bytes[next] ?? 0n;
    for (let byte = 0; byte < 256; byte += 1) {
      if ((set >> BigInt(byte)) & 1n) ways[byte] = (ways[byte] ?? 0) + count;
    }
  }
  return Math.max(1, ...ways);
}
