import type { Unsubscribe } from '../port/byte-port.ts';

/** The instrument's end of a cable: what a simulated instrument speaks through. */
export interface InstrumentLine {
  /** The path under which the station's end can be opened; it stays the same over unplugging. */
  readonly path: string;
  readonly plugged: boolean;
  /**
   * Sends bytes as far as the line takes them. What does not fit is lost, as on a real wire.
   * Returns the number of bytes that were sent.
   */
  send(bytes: Uint8Array): number;
  onBytes(listener: (chunk: Uint8Array) => void): Unsubscribe;
  /** Pulls the cable. */
  unplug(): void;
  /** Puts the cable back, under the same path. */
  replug(): void;
  /** Ends the line for good. */
  dispose(): void;
}
