import { bytesOfHex } from '../profile/words.ts';
import type { InstrumentProfile } from '../profile.ts';
import type { Framer, FramerListener } from './framer.ts';
import { createLineFramer } from './line-framer.ts';
import { createStartFramer } from './start-framer.ts';

/** Whether a profile tells start bytes; without them the stream is cut at line ends alone. */
export function isFramed(profile: InstrumentProfile): boolean {
  return (profile.frame.start ?? '').trim() !== '';
}

/** The framer that a profile asks for. */
export function createFramer(
  profile: InstrumentProfile,
  synchronised: boolean,
  listener: FramerListener,
): Framer {
  const { frame, clear_high_bit: clearHighBit } = profile;
  const maxBytes = frame.max_bytes;
  const ends = frame.ends.map(bytesOfHex);
  if (!isFramed(profile)) {
    const dropsFirst = frame.first_line === 'drop';
    const endTexts = ends.map((end) => end.toString('latin1'));
    const padding = flagsOf(frame.pad_bytes);
    return createLineFramer(
      { ends: endTexts, maxBytes, padding, clearHighBit, dropsFirst, synchronised },
      listener,
    );
  }
  const start = bytesOfHex(frame.start ?? '');
  const betweenFrames = flagsOf([...frame.pad_bytes, ...frame.ignore_between]);
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
