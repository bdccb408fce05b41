import type { BytePort, Unsubscribe } from './byte-port.ts';
import type { Clock } from './clock.ts';
import type { PathClaims } from './path-claims.ts';
import type { SerialSettings } from './serial-settings.ts';

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
  /** The station's end as a port (closed at first). */
  createPort(settings: SerialSettings, clock: Clock, claims?: PathClaims): BytePort;
  /** Ends the line for good. */
  dispose(): void;
}
