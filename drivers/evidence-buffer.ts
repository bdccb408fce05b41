import type { Arrival } from './port/clock.ts';

/** Raw bytes of one line or frame, or of the ignored lines between two of them, with the arrival of the last byte. */
export interface EvidenceLine extends Arrival {
  /** Index of the first byte, counted from the first byte of the stream. */
  readonly offset: number;
  readonly bytes: Uint8Array;
}

export interface EvidenceLimits {
  readonly keepMilliseconds: number;
  readonly keepBytes: number;
}

export const usualEvidenceLimits: EvidenceLimits = { keepMilliseconds: 30_000, keepBytes: 65_536 };

/** The recent past of one instrument as raw bytes, cut where the decoder found its lines. */
export interface EvidenceBuffer {
  /** Takes bytes as they come, before they are decoded. */
  take(chunk: Uint8Array, arrival: Arrival): void;
  /** Says that a whole line or frame lies between two offsets. What was ignored before it is kept as well. */
  addLine(startOffset: number, endOffset: number): void;
  /** Says that the bytes up to an offset are no whole line, and that the next byte begins one. */
  dropUntil(endOffset: number): void;
  /** Says that nothing up to the next line is whole: an endless line, or a lost port. */
  dropUntilNextLine(): void;
  /** Lines from the one that holds `fromOffset` to the one that ends at `endOffset`, oldest first, as far as kept. */
  linesBetween(fromOffset: number, endOffset: number): readonly EvidenceLine[];
  /** Offset of the oldest line kept which came at or after a time; undefined when there is none. */
  offsetSince(arrivedAtMilliseconds: number): number | undefined;
}

interface Piece extends Arrival {
  readonly offset: number;
  readonly bytes: Uint8Array;
}

export function createEvidenceBuffer(limits: EvidenceLimits = usualEvidenceLimits): EvidenceBuffer {
  let lines: EvidenceLine[] = [];
  let lineBytes = 0;
  const pending: Piece[] = [];
  let pendingBytes = 0;
  /** Whether the oldest pending byte begins a line. */
  let fromBoundary = true;
  let position = 0;

  /** Takes the pending bytes up to an offset away and, if they are to be kept, makes a line of them. */
  function cutUntil(endOffset: number, keep: boolean): void {
    const parts: Uint8Array[] = [];
    const [oldest] = pending;
    let arrival: Arrival | undefined;
    for (let piece = oldest; piece !== undefined && piece.offset < endOffset; piece = pending[0]) {
      const length = Math.min(piece.bytes.length, endOffset - piece.offset);
      arrival = piece;
      if (keep) parts.push(piece.bytes.subarray(0, length));
      pendingBytes -= length;
      if (length === piece.bytes.length) pending.shift();
      else pending[0] = { ...piece, offset: piece.offset + length, bytes: piece.bytes.subarray(length) };
    }
    if (!keep || oldest === undefined || arrival === undefined) return;
    const { arrivedAtMilliseconds, arrivedAt } = arrival;
    // A copy (in Node's pool of small buffers): the chunk may be a window on a much larger buffer of the port.
    const bytes = Buffer.concat(parts);
    lines.push({ offset: oldest.offset, bytes, arrivedAtMilliseconds, arrivedAt });
    lineBytes += bytes.length;
  }

  function forgetOld(nowMilliseconds: number): void {
    let old = 0;
    for (const line of lines) {
      const isTooOld = line.arrivedAtMilliseconds < nowMilliseconds - limits.keepMilliseconds;
      if (!isTooOld && lineBytes <= limits.keepBytes) break;
      lineBytes -= line.bytes.length;
      old += 1;
    }
    if (old > 0) lines = lines.slice(old);
  }

  return {
    take(chunk, arrival) {
      forgetOld(arrival.arrivedAtMilliseconds);
      pending.push({ ...arrival, offset: position, bytes: chunk });
      pendingBytes += chunk.length;
      position += chunk.length;
      // Lines that are never told (ignored ones, or one that does not end) must not pile up.
      while (pendingBytes > limits.keepBytes && pending.length > 1) {
        pendingBytes -= pending.shift()?.bytes.length ?? 0;
        fromBoundary = false;
      }
    },
    addLine(startOffset, endOffset) {
      cutUntil(startOffset, fromBoundary);
      const startsHere = pending[0] !== undefined && pending[0].offset <= startOffset;
      cutUntil(endOffset, startsHere || fromBoundary);
      fromBoundary = true;
    },
    dropUntil(endOffset) {
      cutUntil(endOffset, false);
      fromBoundary = true;
    },
    dropUntilNextLine() {
      fromBoundary = false;
    },
    linesBetween(fromOffset, endOffset) {
      return lines.filter(
        (line) =>
          line.offset + line.bytes.length > fromOffset && line.offset + line.bytes.length <= endOffset,
      );
    },
    offsetSince(arrivedAtMilliseconds) {
      return lines.find((line) => line.arrivedAtMilliseconds >= arrivedAtMilliseconds)?.offset;
    },
  };
}
