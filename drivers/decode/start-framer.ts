import type { ChecksumKind } from './checksum.ts';
import { checkFrame } from './checksum.ts';
import { type Framer, type FramerListener, withoutHighBit } from './framer.ts';

export interface StartFrame {
  readonly start: Buffer;
  readonly ends: readonly Buffer[];
  /** Bytes after the end that belong to the frame. */
  readonly tailLength: number;
  readonly maxBytes: number;
  /** 256 flags: bytes that may stand between frames. */
  readonly betweenFrames: Uint8Array;
  readonly clearHighBit: boolean;
  readonly checksum: ChecksumKind | undefined;
}

/** Framer for frames with start bytes: walks byte by byte, since a frame may hold line ends and its end a check byte. */
export function createStartFramer(frame: StartFrame, listener: FramerListener): Framer {
  const { start, ends, tailLength, maxBytes, betweenFrames, clearHighBit, checksum } = frame;
  const capacity = maxBytes + start.length + tailLength + 1;
  const rawHeld = Buffer.alloc(capacity);
  const held = clearHighBit ? Buffer.alloc(capacity) : rawHeld;
  /** Inside a frame: its bytes. Outside: the last bytes that may begin a start. */
  let heldLength = 0;
  let frameStart = -1;
  let tailMissing = 0;
  let endLength = 0;
  /** Start of a stretch of bytes outside frames that has not been told yet. */
  let strayStart = -1;
  /** After an endless frame: told already, up to the next start. */
  let skipping = false;
  let position = 0;

  function keep(byte: number, raw: number): void {
    held[heldLength] = byte;
    if (clearHighBit) rawHeld[heldLength] = raw;
    heldLength += 1;
  }

  function beginFrame(at: number): void {
    rawHeld.copyWithin(0, heldLength - start.length, heldLength);
    if (clearHighBit) held.copyWithin(0, heldLength - start.length, heldLength);
    heldLength = start.length;
    frameStart = at;
  }

  function takeOutside(offset: number): void {
    if (endsWith(held, heldLength, start)) {
      const at = offset - start.length + 1;
      if (strayStart >= 0 && !skipping) listener.onRefusal(strayStart, at, 'outside_frame');
      strayStart = -1;
      skipping = false;
      beginFrame(at);
    } else if (heldLength >= start.length) {
      if (strayStart < 0 && betweenFrames[held[0] ?? 0] === 0) strayStart = offset - heldLength + 1;
      held.copyWithin(0, 1, heldLength);
      if (clearHighBit) rawHeld.copyWithin(0, 1, heldLength);
      heldLength -= 1;
    }
  }

  function takeInside(offset: number): void {
    if (heldLength > start.length && endsWith(held, heldLength, start)) {
      const at = offset - start.length + 1;
      listener.onRefusal(frameStart, at, 'truncated');
      beginFrame(at);
      return;
    }
    const end = ends.find((candidate) => endsWith(held, heldLength, candidate));
    if (end !== undefined) {
      endLength = end.length;
      tailMissing = tailLength;
      if (tailMissing === 0) finishFrame();
    } else if (heldLength > maxBytes) {
      listener.onRefusal(frameStart, offset + 1, 'too_long');
      heldLength = 0;
      frameStart = -1;
      skipping = true;
      strayStart = offset;
    }
  }

  function finishFrame(): void {
    const at = frameStart;
    const length = heldLength;
    heldLength = 0;
    frameStart = -1;
    const bytes = held.subarray(0, length);
    const whole = { bytes, startLength: start.length, endLength, tailLength };
    const body =
      checksum === undefined
        ? { from: start.length, to: Math.max(start.length, length - endLength - tailLength) }
        : checkFrame(checksum, whole);
    if (body === null) {
      listener.onRefusal(at, at + length, 'checksum_bad');
      return;
    }
    const text = held.toString('latin1', body.from, body.to);
    listener.onPiece(text, 0, text.length, rawHeld.toString('latin1', 0, length), 0, length, at, false);
  }

  /** Outside a frame: number of bytes in hand that may be the beginning of a start. */
  function possibleStart(): number {
    for (let length = Math.min(heldLength, start.length - 1); length > 0; length -= 1) {
      if (endsWith(held, heldLength, start.subarray(0, length))) return length;
    }
    return 0;
  }

  /** Bytes in hand when the stream breaks off: from where to where they lie, or null. */
  function bytesInHand(): number | null {
    if (frameStart >= 0) return frameStart;
    const length = possibleStart();
    const strayLength = heldLength - length;
    for (let index = 0; index < strayLength; index += 1) {
      if (strayStart < 0 && betweenFrames[held[index] ?? 0] === 0) strayStart = position - heldLength + index;
    }
    return length > 0 ? position - length : null;
  }

  function forget(): void {
    heldLength = 0;
    frameStart = -1;
    tailMissing = 0;
    strayStart = -1;
    skipping = false;
  }

  return {
    push(chunk) {
      const bytes = clearHighBit ? withoutHighBit(chunk) : chunk;
      for (let index = 0; index < bytes.length; index += 1) {
        keep(bytes[index] ?? 0, chunk[index] ?? 0);
        if (tailMissing > 0) {
          tailMissing -= 1;
          position += 1;
          if (tailMissing === 0) finishFrame();
          continue;
        }
        if (frameStart < 0) takeOutside(position);
        else takeInside(position);
        position += 1;
      }
    },
    reconnect() {
      const from = bytesInHand();
      if (from !== null) listener.onRefusal(from, position, 'cut_by_reconnect');
      forget();
    },
    end() {
      const from = bytesInHand();
      if (strayStart >= 0) listener.onRefusal(strayStart, from ?? position, 'outside_frame');
      if (from !== null) listener.onRefusal(from, position, 'unfinished');
      forget();
    },
    get heldBytes() {
      return heldLength;
    },
    get openSince() {
      if (frameStart >= 0) return frameStart;
      return strayStart >= 0 && !skipping ? strayStart : position - heldLength;
    },
  };
}

/** Whether the first `length` bytes end with these bytes. */
function endsWith(bytes: Uint8Array, length: number, end: Uint8Array): boolean {
  const from = length - end.length;
  if (from < 0) return false;
  for (let index = 0; index < end.length; index += 1) if (bytes[from + index] !== end[index]) return false;
  return true;
}
