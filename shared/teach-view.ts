import type { PortIdentity } from './instrument/instrument.ts';
import type { Quantity } from './quantity/unit.ts';

/** A port that an instrument may be plugged into. */
export interface PortView {
  /** What the calls name it by: the path under which it can be opened now. */
  readonly portId: string;
  readonly transport: 'serial' | 'hid';
  /** What the device calls itself; empty where it says nothing. */
  readonly name: string;
  /** What tells this device from every other one. */
  readonly knownBy: 'serial number' | 'device' | 'socket' | 'path';
  readonly identity: PortIdentity;
  /** True for the practice device of the demo workshop. */
  readonly simulated: boolean;
  /** The instrument of this station that holds it; such a port is never listened to here. */
  readonly heldBy: string | null;
}

/** A profile that an instrument may be registered with. */
export interface ProfileView {
  readonly name: string;
  readonly quantity: Quantity;
  readonly taught: boolean;
  readonly canBeSimulated: boolean;
}

/** One line as it came from an instrument. */
export interface InstrumentLineView {
  readonly at: string;
  readonly base64: string;
}
