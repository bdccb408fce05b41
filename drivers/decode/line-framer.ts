import { type Framer, type FramerListener, withoutHighBit } from './framer.ts';

export interface LineFrame {
  /** Line ends as latin1 text; the first that is complete counts, of two the one named first. */
  readonly ends: readonly string[];
  readonly maxBytes: number;
  /** 256 flags: bytes that are skipped before the first byte of a line. */
  readonly padding: Uint8Array;
  readonly clearHighBit: boolean;
  /** The first piece after an opening is not believed. */
  readonly dropsFirst: boolean;
  /** The stream begins at the start of a line. */
  readonly synchronised: boolean;
}

/** Bytes up to which a slice may keep its chunk in memory. */
const smallChunk = 256;

/**
 * Framer for lines with plain ends. A chunk becomes text once and its lines are found with `indexOf`, so that
 * whole lines cost about as much as in a bare line splitter.
 */
export function createLineFramer(frame: LineFrame, listener: FramerListener): Framer {
  const { ends, maxBytes, padding, clearHighBit } = frame;
  const overlap = Math.max(...ends.map((end) => end.length)) - 1;
  const hasPadding = padding.includes(1);
  // Characters after which the rest of an end may follow in the next chunk.
  const innerCharacters = new Set(ends.flatMap((end) => [...end.slice(0, -1)]));
  const findEnd = ends.length === 1 ? findOnlyEnd : findFirstEnd;
  // Where each end comes next in the text in hand, so that a rare end is not searched again for every line.
  const nextEnds = ends.map(() => 0);

  /** The beginning of a line whose end has not come: to be understood, and as it came. */
  let rest = '';
  let rawRest = '';
  /** The line in hand has grown too long, which is told; its bytes are dropped up to its end. */
  let skipping = false;
  let lineStart = 0;
  let first = !frame.synchronised;
  let position = 0;
  let foundAt = -1;
  let foundLength = 0;

  function findOnlyEnd(text: string, from: number): void {
    const end = ends[0] ?? '';
    foundAt = text.indexOf(end, from);
    foundLength = end.length;
  }

  function findFirstEnd(text: string, from: number): void {
    foundAt = -1;
    foundLength = 0;
    for (let which = 0; which < ends.length; which += 1) {
      const end = ends[which] ?? '';
      let next = nextEnds[which] ?? 0;
      if (next < from) {
        next = text.indexOf(end, from);
        if (next === -1) next = Number.POSITIVE_INFINITY;
        nextEnds[which] = next;
      }
      if (
        next !== Number.POSITIVE_INFINITY &&
        (foundAt === -1 || next + end.length < foundAt + foundLength)
      ) {
        foundAt = next;
        foundLength = end.length;
      }
    }
  }

  function startSearch(): void {
    nextEnds.fill(-1);
  }

  /** A line has ended; `to` is the index of its end. */
  function tellLine(text: string, raw: string, from: number, to: number): void {
    const wasFirst = first;
    const length = to - from;
    first = false;
    if (length === 0) return;
    if (length + foundLength - 1 > maxBytes) tellTooLong();
    else if (wasFirst && frame.dropsFirst) {
      listener.onRefusal(lineStart, lineStart + length + foundLength, 'first_partial');
    } else listener.onPiece(text, from, to, raw, from, to + foundLength, lineStart, wasFirst);
  }

  function tellTooLong(): void {
    listener.onRefusal(lineStart, lineStart + maxBytes + 1, 'too_long');
  }

  /** Goes on with the line in hand; gives the index behind it, or −1 if it does not end in this chunk. */
  function continueLine(text: string, raw: string): number {
    const mayStraddle = innerCharacters.has(rest.charAt(rest.length - 1));
    const kept = mayStraddle ? rest.slice(Math.max(0, rest.length - overlap)) : '';
    const window = mayStraddle ? kept + text : text;
    startSearch();
    findEnd(window, 0);
    if (foundAt === -1) {
      if (!skipping && rest.length + text.length > maxBytes) {
        skipping = true;
        tellTooLong();
      }
      rest = skipping ? (kept + text).slice(Math.max(0, kept.length + text.length - overlap)) : rest + text;
      rawRest = skipping ? '' : rawRest + raw;
      return -1;
    }
    const used = foundAt + foundLength - kept.length;
    if (skipping) first = false;
    else {
      const line = rest + text.slice(0, used);
      tellLine(line, clearHighBit ? rawRest + raw.slice(0, used) : line, 0, line.length - foundLength);
    }
    rest = '';
    rawRest = '';
    skipping = false;
    return used;
  }

  function push(chunk: Buffer): void {
    const base = position;
    position += chunk.length;
    const raw = chunk.toString('latin1');
    const text = clearHighBit ? withoutHighBit(chunk).toString('latin1') : raw;
    let from = rest !== '' || skipping ? continueLine(text, raw) : 0;
    if (from === -1) return;
    startSearch();
    while (from < text.length) {
      if (hasPadding) while (from < text.length && padding[text.charCodeAt(from)] === 1) from += 1;
      lineStart = base + from;
      findEnd(text, from);
      if (foundAt === -1) {
        hold(chunk, text, raw, from);
        return;
      }
      tellLine(text, raw, from, foundAt);
      from = foundAt + foundLength;
    }
  }

  /** Keeps the rest of a chunk in which no line ends. */
  function hold(chunk: Buffer, text: string, raw: string, from: number): void {
    let keptFrom = from;
    if (chunk.length - from > maxBytes) {
      skipping = true;
      tellTooLong();
      keptFrom = Math.max(from, chunk.length - overlap);
    }
    // Of a large chunk a text of its own, so that a few bytes do not keep all of it in memory.
    const isSmall = chunk.length <= smallChunk;
    rawRest = isSmall ? raw.slice(keptFrom) : chunk.toString('latin1', keptFrom);
    rest = !clearHighBit
      ? rawRest
      : isSmall
        ? text.slice(keptFrom)
        : withoutHighBit(chunk.subarray(keptFrom)).toString('latin1');
  }

  function forget(): void {
    rest = '';
    rawRest = '';
    skipping = false;
  }

  return {
    push,
    reconnect() {
      if (rest !== '' || skipping) listener.onRefusal(lineStart, position, 'cut_by_reconnect');
      forget();
      first = true;
    },
    end() {
      if (rest !== '' || skipping) listener.onRefusal(lineStart, position, 'unfinished');
      forget();
    },
    get heldBytes() {
      return rest.length;
    },
    get openSince() {
      return rest !== '' || skipping ? lineStart : position;
    },
  };
}
