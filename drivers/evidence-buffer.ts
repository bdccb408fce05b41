import type { Arrival } from './port/clock.ts';

/** Raw bytes of the stream from one line boundary to the next, with the arrival of the last byte. */
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

/** The recent past of one instrument as raw bytes, cut at the places where the decoder stood between two lines. */
export interface EvidenceBuffer {
  /** Takes bytes as they come, before they are decoded. */
  take(chunk: Uint8Array, arrival: Arrival): void;
  /**
   * Says that the decoder stands between two lines at this offset.
   *
   * @param whole false when what came since the last boundary did not begin at the start of a line
   */
  markBoundary(endOffset: number, whole: boolean): void;
  /** Says that what came since the last boundary is no line, and what comes next begins inside one. */
  forgetPending(): void;
  /**
   * Lines up to the one that ends at `endOffset`, oldest first, from the line that holds `fromOffset` on.
   * Older lines than are kept are left out; the first one always begins at a boundary.
   */
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
  let pending: Piece[] = [];
  let pendingBytes = 0;
  /** False while the pending bytes do not begin at a boundary. */
  let fromBoundary = true;
  let position = 0;

  function dropPending(): void {
    pending = [];
    pendingBytes = 0;
  }

  function forgetOld(nowMilliseconds: number): void {
    let old = 0;
    for (const line of lines) {
      const tooOld = line.arrivedAtMilliseconds < nowMilliseconds - limits.keepMilliseconds;
      if (!tooOld && lineBytes <= limits.keepBytes) break;
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
      if (pendingBytes > 2 * limits.keepBytes) {
        dropPending();
        fromBoundary = false;
      }
    },
    markBoundary(endOffset, whole) {
      const parts: Uint8Array[] = [];
      let offset: number | undefined;
      let arrival: Arrival | undefined;
      while (pending[0] !== undefined && pending[0].offset < endOffset) {
        const piece = pending[0];
        const length = Math.min(piece.bytes.length, endOffset - piece.offset);
        offset ??= piece.offset;
        arrival = piece;
        parts.push(piece.bytes.subarray(0, length));
        pendingBytes -= length;
        if (length === piece.bytes.length) pending.shift();
        else {
          pending[0] = { ...piece, offset: piece.offset + length, bytes: piece.bytes.subarray(length) };
        }
      }
      if (arrival !== undefined && offset !== undefined && fromBoundary && whole) {
        // A copy: the chunk may be a window on a much larger buffer of the port.
        const bytes = Uint8Array.from(Buffer.concat(parts));
        const { arrivedAtMilliseconds, arrivedAt } = arrival;
        lines.push({ offset, bytes, arrivedAtMilliseconds, arrivedAt });
        lineBytes += bytes.length;
      }
      fromBoundary = true;
    },
    forgetPending() {
      dropPending();
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
