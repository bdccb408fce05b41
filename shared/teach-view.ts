import type { PortIdentity } from './instrument/instrument.ts';
import type { PortState } from './port-state.ts';
import type { Quantity, Unit } from './quantity/unit.ts';

/** HID devices cannot be looked for: a shared library is missing, which a Debian package brings; null: otherwise. */
export interface HidLackView {
  readonly missing: { readonly library: string; readonly package: string } | null;
}

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

/** What a display shows, as a person reads it. */
export interface DisplayView {
  readonly text: string;
  readonly unit: Unit;
  /** Null where the display shows none. */
  readonly state: 'stable' | 'unstable' | null;
}
export type PracticeView = DisplayView;

/** Bits of a character: data bits, parity, stop bits. */
export const characterFormats = ['8N1', '7E1', '7O1', '8E1', '8O1', '7N2', '8N2'] as const;
export type CharacterFormat = (typeof characterFormats)[number];
export const baudRates = [
  300, 600, 1200, 2400, 4800, 9600, 19_200, 38_400, 57_600, 115_200, 230_400,
] as const;

/** A piece of a line and what it is taken for. */
export interface LinePart {
  readonly text: string;
  readonly role: 'value' | 'unit' | 'flag' | null;
}

/** What is guessed of the bytes so far. */
export type TeachGuess =
  | {
      readonly ok: true;
      /** Bytes that start and end a line, in hexadecimal. */
      readonly start: string | null;
      readonly ends: readonly string[];
      /** Bit 7 is a parity bit that was left in. */
      readonly parityLeftIn: boolean;
      /** The setting under which the parity would be taken off by the port. */
      readonly betterFormat: '7E1' | '7O1' | null;
      readonly decimal: '.' | ',';
      /** The last lines, cut into columns. */
      readonly lines: readonly (readonly LinePart[])[];
    }
  | { readonly ok: false; readonly code: string; readonly message: string };

/** What is known of an instrument that is being taught. */
export interface TeachView {
  readonly port: {
    readonly portId: string;
    readonly baud: number;
    readonly format: CharacterFormat;
    readonly state: PortState;
    readonly message: string;
    readonly bytes: number;
  } | null;
  /** The last lines as they came. */
  readonly lines: readonly InstrumentLineView[];
  readonly guess: TeachGuess | null;
  /** Built-in profiles that read what came, the best first. */
  readonly known: readonly { readonly name: string; readonly accepted: number; readonly refused: number }[];
  readonly confirmations: readonly DisplayView[];
  /** The display of the practice device, where it is the one listened to. */
  readonly practice: PracticeView | null;
}
