import type { RejectionReason } from '../../shared/indication.ts';

/**
 * What a framer tells. Bytes travel as latin1 text, one character a byte, which loses nothing and is what the
 * profile's expressions read. Offsets count from the first byte of the stream; ends are one past the last byte.
 */
export interface FramerListener {
  /**
   * A whole line or frame.
   *
   * @param text text that holds what is to be understood, from `from` to `to`: without start, end and check bytes,
   *   bit 7 cleared if the profile says so
   * @param raw text that holds the bytes as they came, from `rawFrom` to `rawTo`, line end included
   * @param isFirst it is the first piece after an opening, so its beginning may be missing
   */
  onPiece(
    text: string,
    from: number,
    to: number,
    raw: string,
    rawFrom: number,
    rawTo: number,
    startOffset: number,
    isFirst: boolean,
  ): void;
  onRefusal(startOffset: number, endOffset: number, reason: RejectionReason): void;
}

/** Cuts a stream of bytes into lines or frames. Holds no more than the cap of the profile plus one end and tail. */
export interface Framer {
  push(chunk: Buffer): void;
  /** The port was lost and opened again: bytes in hand are never joined with what comes after. */
  reconnect(): void;
  /** Nothing more will come. */
  end(): void;
  /** Number of bytes held. */
  readonly heldBytes: number;
  /** Start of the oldest bytes that are not decided yet; the end of the stream so far when there are none. */
  readonly openSince: number;
}

/** The same bytes with bit 7 cleared. */
export function withoutHighBit(chunk: Buffer): Buffer {
  const cleared = Buffer.from(chunk);
  for (let index = 0; index < cleared.length; index += 1) cleared[index] = (cleared[index] ?? 0) & 0x7f;
  return cleared;
}
