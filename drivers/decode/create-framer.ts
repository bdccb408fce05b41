import { bytesOfHex } from '../profile/words.ts';
import type { InstrumentProfile } from '../profile.ts';
import type { Framer, FramerListener } from './framer.ts';
import { createLineFramer } from './line-framer.ts';
import { createStartFramer } from './start-framer.ts';

/** Whether a profile tells start bytes; without them the stream is cut at line ends alone. */
export function isFramed(profile: InstrumentProfile): boolean {
  return (profile.frame.start ?? '').trim() !== '';
}

interface CompiledFrame {
  readonly ends: readonly Buffer[];
  readonly endTexts: readonly string[];
  readonly padding: Uint8Array;
  readonly betweenFrames: Uint8Array;
}

/** The same for every decoder of a profile, of which a replay makes many. */
const compiled = new WeakMap<InstrumentProfile, CompiledFrame>();

function compileFrame(profile: InstrumentProfile): CompiledFrame {
  const before = compiled.get(profile);
  if (before !== undefined) return before;
  const { pad_bytes: padding, ignore_between: between, ends: endWords } = profile.frame;
  const ends = endWords.map(bytesOfHex);
  const frame = {
    ends,
    endTexts: ends.map((end) => end.toString('latin1')),
    padding: flagsOf(padding),
    betweenFrames: flagsOf([...padding, ...between]),
  };
  compiled.set(profile, frame);
  return frame;
}

/** The framer that a profile asks for. */
export function createFramer(
  profile: InstrumentProfile,
  synchronised: boolean,
  listener: FramerListener,
): Framer {
  const { frame, clear_high_bit: clearHighBit } = profile;
  const maxBytes = frame.max_bytes;
  const { ends, endTexts, padding, betweenFrames } = compileFrame(profile);
  if (!isFramed(profile)) {
    const dropsFirst = frame.first_line === 'drop';
    return createLineFramer(
      { ends: endTexts, maxBytes, padding, clearHighBit, dropsFirst, synchronised },
      listener,
    );
  }
  const start = bytesOfHex(frame.start ?? '');
  const checksum = profile.checksum?.kind;
  return createStartFramer(
    { start, ends, tailLength: frame.tail, maxBytes, betweenFrames, clearHighBit, checksum },
    listener,
  );
}

function flagsOf(hexBytes: readonly string[]): Uint8Array {
  const flags = new Uint8Array(256);
  for (const hex of hexBytes) flags[Number.parseInt(hex, 16)] = 1;
  return flags;
}
