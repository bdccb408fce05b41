import type { Indication, Rejection } from '../../shared/indication.ts';
import type { RememberedPeaks } from './repeats.ts';

/** What the decoder made of a line, frame or stretch of bytes. */
export type Outcome = AcceptedOutcome | RefusedOutcome;

export interface AcceptedOutcome {
  readonly kind: 'indication';
  readonly indication: Indication;
  /** First byte of `raw` in the stream: of a ticket its first line, of a unit told before its heading line. */
  readonly startOffset: number;
  /** One past the last byte. */
  readonly endOffset: number;
  /**
   * The bytes as they came that make the reading, line ends included: a fresh decoder with `synchronised` reads
   * the same from them. Made anew each time it is asked for; it may be kept.
   */
  readonly raw: Uint8Array;
}

export interface RefusedOutcome {
  readonly kind: 'rejection';
  readonly rejection: Rejection;
  /** One past the last byte of what was refused. */
  readonly endOffset: number;
}

export interface DecoderOptions {
  /** Only a few lines will come, as in a replay: learning their shapes would take longer than reading them. */
  readonly isBrief?: boolean;
  /** The bytes begin at the start of a line: the first line is a line like any other. For stored evidence. */
  readonly synchronised?: boolean;
  /** Peaks accepted earlier, from `remembered()` of another decoder of the same instrument. */
  readonly remembered?: RememberedPeaks;
}

/** Bytes to readings, one decoder for one instrument. Pure: the same bytes give the same outcomes. */
export interface Decoder {
  /** Takes bytes in pieces of any size; how they are cut changes nothing. Never throws. */
  push(bytes: Uint8Array): Outcome[];
  /** The port was lost and opened again. Accepted peaks stay remembered, bytes in hand do not. */
  reconnect(): Outcome[];
  /** Nothing more will come. */
  end(): Outcome[];
  remembered(): RememberedPeaks;
  /** Start of the oldest bytes that are not decided yet: no later outcome has a smaller offset. */
  readonly openSince: number;
  /** Bytes held: at most the profile's cap and a frame end; of a ticket each of its lines, of a heading one. */
  readonly heldBytes: number;
}
