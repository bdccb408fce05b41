import fc from 'fast-check';
import { createDecoder, type Outcome } from '../../../drivers/decode.ts';
import { readProfile } from '../../../drivers/profile.ts';
import { profileDocuments } from '../profiles-on-disk.ts';
import type { Surface } from '../surface.ts';

/** Pieces of bytes that instruments, half-broken cables and other devices could send. */
const hostilePiece: fc.Arbitrary<Uint8Array> = fc.oneof(
  fc.uint8Array({ maxLength: 200 }),
  fc
    .constantFrom(
      ...['\r\n', '\n', '\r', '\x02', '\x03', '\x04', '+', '-', ' ', '.', ',', 'kg', 'g', 'N.m', 'ST,', 'OL'],
      ...['0.00', '12.345', '1e9', '+00000123', '99999999', '-.', '1,2,3', '\xff\xff', '\x80', '\x00'],
    )
    .map(bytesOf),
  fc
    .tuple(fc.constantFrom('1', ' ', 'S', '\x02', '\xb2'), fc.nat(3000))
    .map(([unit, count]) => bytesOf(unit.repeat(count))),
);
export const hostileStream: fc.Arbitrary<readonly Uint8Array[]> = fc.array(hostilePiece, { maxLength: 30 });

function bytesOf(text: string): Uint8Array {
  return Uint8Array.from(Buffer.from(text, 'latin1'));
}

/** What the built-in profiles make of any bytes. */
export const decoderSurface: Surface = {
  name: 'decoder bytes',
  holds: 'no throw, bytes held bounded, outcomes in the stream, the same however it is cut',
  async open() {
    const profiles = profileDocuments().flatMap((document) => {
      const profile = readProfile(document);
      // Reports of a HID device come whole: there is no other cut.
      return profile.ok && profile.value.hid === undefined ? [profile.value] : [];
    });
    return {
      property: fc.property(fc.nat(profiles.length - 1), hostileStream, fc.nat(), (index, pieces, cut) => {
        const profile = profiles[index];
        if (profile === undefined) return false;
        const whole = Buffer.concat(pieces);
        // A ticket holds several lines, each below the cap.
        const mostHeld = (profile.frame.max_bytes + 64) * 40;
        const run = (parts: readonly Uint8Array[]): Outcome[] => {
          const decoder = createDecoder(profile);
          const outcomes = parts.flatMap((part) => {
            const made = decoder.push(part);
            if (decoder.heldBytes > mostHeld) throw new Error(`${decoder.heldBytes} bytes are held`);
            return made;
          });
          return [...outcomes, ...decoder.end()];
        };
        const inPieces = run(pieces);
        const at = whole.length === 0 ? 0 : cut % whole.length;
        const inTwo = run([whole.subarray(0, at), whole.subarray(at)]);
        if (JSON.stringify(inPieces) !== JSON.stringify(inTwo))
          throw new Error('the cut changes the outcome');
        return inPieces.every((outcome) => isInside(outcome, whole.length));
      }),
    };
  },
};

function isInside(outcome: Outcome, length: number): boolean {
  if (outcome.kind === 'rejection') {
    const { offset } = outcome.rejection;
    return offset >= 0 && offset <= outcome.endOffset && outcome.endOffset <= length;
  }
  const { indication, startOffset, endOffset } = outcome;
  return (
    Number.isFinite(indication.value) && startOffset >= 0 && startOffset < endOffset && endOffset <= length
  );
}
