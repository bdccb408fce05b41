import { BadInput } from './command.ts';

/** How bytes are cut before they are decoded. The result must not depend on it; tests say so. */
export type Cutting =
  | { readonly kind: 'as read' }
  | { readonly kind: 'every'; readonly size: number }
  | Random;
interface Random {
  readonly kind: 'random';
  readonly seed: number;
}

/** Longest random piece. */
const longestPiece = 300;

/** Reads `--chunk N` or `--chunk random:SEED`. */
export function parseCutting(text: string | undefined): Cutting {
  if (text === undefined) return { kind: 'as read' };
  const random = /^random:(\d{1,9})$/.exec(text);
  if (random !== null) return { kind: 'random', seed: Number(random[1]) };
  if (/^[1-9]\d{0,8}$/.test(text)) return { kind: 'every', size: Number(text) };
  throw new BadInput(`--chunk: "${text}" is neither a number of bytes nor random:SEED; give one of the two`);
}

/** Cuts pieces of a stream again. */
export function createCutter(cutting: Cutting): (bytes: Uint8Array) => Iterable<Uint8Array> {
  if (cutting.kind === 'as read') return (bytes) => [bytes];
  const next = cutting.kind === 'every' ? () => cutting.size : randomSizes(cutting.seed);
  return function* cut(bytes) {
    for (let at = 0; at < bytes.length; ) {
      const size = next();
      yield bytes.subarray(at, at + size);
      at += size;
    }
  };
}

/** Small sequence of sizes from a seed (mulberry32, public domain). */
function randomSizes(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return 1 + (((mixed ^ (mixed >>> 14)) >>> 0) % longestPiece);
  };
}
