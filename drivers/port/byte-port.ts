import type { Result } from '../../shared/result.ts';
import type { Arrival } from './clock.ts';

export type PortKind = 'serial' | 'hid' | 'replay' | 'in-process';

/** Why an open port is open no more. */
export type LossReason =
  /** The far end went away: cable pulled, device switched off. */
  | 'unplugged'
  /** The system reported an error while reading or writing. */
  | 'read_failed'
  /** The recording has come to a place where the port was lost. */
  | 'recorded_loss';

/**
 * Where a port stands. Every state but `closed` and `open` is one in which the port keeps trying by itself;
 * `nextTryAtMilliseconds` (monotonic) says when. Silence is no state of a port: who knows what the instrument
 * should say decides about it.
 */
export type PortState =
  | { readonly kind: 'closed' }
  | { readonly kind: 'opening'; readonly since: Arrival }
  | { readonly kind: 'open'; readonly since: Arrival }
  | {
      readonly kind: 'lost';
      readonly reason: LossReason;
      readonly message: string;
      readonly since: Arrival;
      readonly nextTryAtMilliseconds: number;
    }
  /** In use by another program. */
  | {
      readonly kind: 'busy';
      readonly message: string;
      readonly since: Arrival;
      readonly nextTryAtMilliseconds: number;
    }
  /** Permission denied. `remedy` says what an administrator has to do. */
  | {
      readonly kind: 'denied';
      readonly message: string;
      readonly remedy: string;
      readonly since: Arrival;
      readonly nextTryAtMilliseconds: number;
    }
  /** Not there (yet). */
  | {
      readonly kind: 'missing';
      readonly message: string;
      readonly since: Arrival;
      readonly nextTryAtMilliseconds: number;
    }
  /** The system refused to open it for another reason, for example a setting that the hardware cannot do. */
  | {
      readonly kind: 'failed';
      readonly message: string;
      readonly since: Arrival;
      readonly nextTryAtMilliseconds: number;
    };

/** The failures of an attempt to open. */
export type OpenFailure =
  | { readonly kind: 'busy'; readonly message: string }
  | { readonly kind: 'denied'; readonly message: string; readonly remedy: string }
  | { readonly kind: 'missing'; readonly message: string }
  | { readonly kind: 'failed'; readonly message: string };

/** Ends a subscription. */
export type Unsubscribe = () => void;

/**
 * Something that bytes come from and go to. It knows no meaning: no lines, no readings.
 * It opens again by itself after a loss; each opening is a fresh connection.
 */
export interface BytePort {
  readonly kind: PortKind;
  /** The name by which the port was asked for: a path, or the name of a recording. */
  readonly path: string;
  readonly state: PortState;
  /**
   * Starts to open, and to open again after each loss, until `close()`.
   * Refusals: `port_open` (this port is open already), `port_held` (another port object of this program has the path).
   */
  open(): Result<void>;
  /** Every chunk as it came, with its time. The chunk may be kept: nobody writes to it again. */
  onBytes(listener: (chunk: Uint8Array, arrival: Arrival) => void): Unsubscribe;
  /** Every change of state, in order. `open` is told before the first byte of that opening. */
  onState(listener: (state: PortState) => void): Unsubscribe;
  /**
   * Sends bytes now or not at all: nothing is ever kept for a later opening.
   * Refusals: `port_not_open`, `port_congested` (the instrument does not take what was sent before).
   */
  write(bytes: Uint8Array): Result<void>;
  /** Tries at once if the port waits for its next try, for example because a device has just arrived. */
  tryNow(): void;
  /** Closes and stops trying. Resolves when the system has let go of the device. */
  close(): Promise<void>;
}
