/** How the stream seems to be cut, in the words of a profile's frame. */
export interface FrameGuess {
  readonly start?: string;
  readonly ends: readonly string[];
  readonly max_bytes: number;
  readonly first_line: 'drop' | 'as any other';
}

const startOfText = 0x02;
const endOfText = 0x03;
const lineFeed = 0x0a;
const carriageReturn = 0x0d;

/** Guesses start and ends from the control bytes that come again and again; null when nothing does. */
export function guessFrame(bytes: Uint8Array): FrameGuess | null {
  const count = (wanted: number) => bytes.reduce((sum, byte) => sum + Number(byte === wanted), 0);
  const carriageReturns = count(carriageReturn);
  const lineFeeds = count(lineFeed);
  const pairs = countPairs(bytes);
  const framed = count(startOfText) >= 2;
  const ends = framed && count(endOfText) >= 2 ? ['03'] : guessLineEnds(carriageReturns, lineFeeds, pairs);
  if (ends === null) return null;
  const longest = longestPiece(bytes, ends);
  // Twice the longest line seen, in round numbers, is room enough and still a cap.
  const maxBytes = Math.min(65_536, Math.max(32, 2 ** Math.ceil(Math.log2(2 * (longest + 2)))));
  return framed
    ? { start: '02', ends, max_bytes: maxBytes, first_line: 'as any other' }
    : { ends, max_bytes: maxBytes, first_line: 'drop' };
}

function guessLineEnds(carriageReturns: number, lineFeeds: number, pairs: number): string[] | null {
  if (carriageReturns + lineFeeds === 0) return null;
  const most = Math.max(carriageReturns, lineFeeds);
  if (pairs >= 0.8 * most) return ['0d0a'];
  if (lineFeeds < 0.2 * carriageReturns) return ['0d'];
  if (carriageReturns < 0.2 * lineFeeds) return ['0a'];
  return ['0d0a', '0d', '0a'];
}

function countPairs(bytes: Uint8Array): number {
  let pairs = 0;
  for (let index = 1; index < bytes.length; index += 1) {
    if (bytes[index - 1] === carriageReturn && bytes[index] === lineFeed) pairs += 1;
  }
  return pairs;
}

function longestPiece(bytes: Uint8Array, ends: readonly string[]): number {
  const last = Number.parseInt(ends[0]?.slice(-2) ?? '0a', 16);
  let longest = 0;
  let from = 0;
  for (let index = 0; index <= bytes.length; index += 1) {
    if (index < bytes.length && bytes[index] !== last) continue;
    if (index < bytes.length) longest = Math.max(longest, index - from);
    from = index + 1;
  }
  return longest;
}
