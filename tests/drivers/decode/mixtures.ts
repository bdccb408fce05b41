import fc from 'fast-check';
import { corpora } from './corpora.ts';

/** Bytes that mean something to one profile or another, so that damage meets them often. */
const meaningful = [0x02, 0x03, 0x0a, 0x0d, 0x20, 0x2b, 0x2c, 0x2d, 0x2e, 0x30, 0x3f, 0x41];

const byte = fc.oneof(fc.integer({ min: 0, max: 255 }), fc.constantFrom(...meaningful));

/** A stretch of a recording, of its own profile most of the time. */
function stretchOf(own: Uint8Array): fc.Arbitrary<Uint8Array> {
  const source = fc.oneof(
    { weight: 5, arbitrary: fc.constant(own) },
    { weight: 1, arbitrary: fc.constantFrom(...corpora.map(({ bytes }) => bytes)) },
  );
  return source.chain((bytes) =>
    fc
      .tuple(fc.nat(bytes.length), fc.nat(bytes.length))
      .map(([a, b]) => bytes.subarray(Math.min(a, b), Math.max(a, b))),
  );
}

const junk = fc.oneof(
  fc.array(byte, { maxLength: 40 }).map((bytes) => Uint8Array.from(bytes)),
  fc.nat(300).map((length) => new Uint8Array(length).fill(0x37)),
);

type Edit = (bytes: number[]) => void;

/** One damage: a flipped bit, lost bytes, bytes too many, a byte for another, or a stretch that comes again. */
const edit: fc.Arbitrary<Edit> = fc.oneof(
  fc.tuple(fc.nat(), fc.nat(7)).map(
    ([at, bit]): Edit =>
      (bytes) => {
        if (bytes.length > 0) bytes[at % bytes.length]! ^= 1 << bit;
      },
  ),
  fc.tuple(fc.nat(), fc.integer({ min: 1, max: 3 })).map(
    ([at, count]): Edit =>
      (bytes) => {
        bytes.splice(at % (bytes.length + 1), count);
      },
  ),
  fc.tuple(fc.nat(), fc.array(byte, { minLength: 1, maxLength: 3 })).map(
    ([at, more]): Edit =>
      (bytes) => {
        bytes.splice(at % (bytes.length + 1), 0, ...more);
      },
  ),
  fc.tuple(fc.nat(), byte).map(
    ([at, other]): Edit =>
      (bytes) => {
        if (bytes.length > 0) bytes[at % bytes.length] = other;
      },
  ),
  fc.tuple(fc.nat(), fc.nat(60), fc.nat()).map(
    ([from, length, at]): Edit =>
      (bytes) => {
        const copied = bytes.slice(from % (bytes.length + 1)).slice(0, length);
        bytes.splice(at % (bytes.length + 1), 0, ...copied);
      },
  ),
);

/** A stream for one profile: stretches of recordings, junk and damage, with the port lost here and there. */
export function mixtureFor(own: Uint8Array): fc.Arbitrary<{ bytes: Uint8Array; losses: readonly number[] }> {
  const part = fc.oneof({ weight: 4, arbitrary: stretchOf(own) }, { weight: 1, arbitrary: junk });
  return fc
    .tuple(
      fc.array(part, { minLength: 1, maxLength: 4 }),
      fc.array(edit, { maxLength: 10 }),
      fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { maxLength: 2 }),
    )
    .map(([parts, edits, losses]) => {
      const bytes = parts.flatMap((stretch) => [...stretch]);
      for (const damage of edits) damage(bytes);
      return {
        bytes: Uint8Array.from(bytes),
        losses: losses.map((share) => Math.floor(share * bytes.length)),
      };
    });
}

/** Sizes of pieces, used again and again. */
export const pieceSizes = fc.array(fc.integer({ min: 1, max: 90 }), { minLength: 1, maxLength: 12 });

export function cuttingOf(sizes: readonly number[]): () => number {
  let at = 0;
  return () => {
    const size = sizes[at % sizes.length] ?? 1;
    at += 1;
    return size;
  };
}
