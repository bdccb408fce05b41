import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type InstrumentProfile, readProfile } from '../../../drivers/profile.ts';
import { asSidecar, byOffset, type Corpus, corpora, decodeAll } from './corpora.ts';
import { cuttingOf, mixtureFor, pieceSizes } from './mixtures.ts';
import { ReferenceReader } from './reference-reader.ts';

/** The reference reader on the same bytes. */
function readByReference(rawProfile: object, bytes: Uint8Array, losses: readonly number[]) {
  const reader = new ReferenceReader(rawProfile);
  let at = 0;
  for (const loss of [...losses].sort((a, b) => a - b)) {
    reader.feed(bytes.subarray(at, loss));
    reader.reconnect();
    at = Math.max(at, loss);
  }
  reader.feed(bytes.subarray(at));
  reader.end();
  return { accepted: reader.accepted.sort(byOffset), refused: reader.refused.sort(byOffset) };
}

/** The same line shape with its framing changed, to reach the corners of the rules. */
const variations: readonly (readonly [string, number, (profile: Record<string, unknown>) => object])[] = [
  [
    'any line end, padding, short cap',
    0,
    (frame) => ({ ...frame, ends: ['0d0a', '0d', '0a'], pad_bytes: ['00', '20'], max_bytes: 20 }),
  ],
  ['a line end that is part of another', 0, (frame) => ({ ...frame, ends: ['0a', '0d0a'], max_bytes: 19 })],
  [
    'no dropping of the first line',
    7,
    (frame) => ({ ...frame, first_line: 'as any other', pad_bytes: ['20'], max_bytes: 12 }),
  ],
  ['bytes allowed between frames', 5, (frame) => ({ ...frame, ignore_between: ['20', '0d'], max_bytes: 19 })],
  ['a cap shorter than the frames', 5, (frame) => ({ ...frame, max_bytes: 10 })],
  ['parity bit and line feed only', 6, (frame) => ({ ...frame, ends: ['0a'], max_bytes: 16 })],
];

interface Case extends Pick<Corpus, 'name' | 'bytes' | 'rawProfile' | 'profile'> {}

const cases: readonly Case[] = [
  ...corpora,
  ...variations.map(([name, which, vary]) => {
    const corpus = corpora[which]!;
    const frame = vary(corpus.rawProfile.frame as Record<string, unknown>);
    return { ...corpus, name, ...varied({ ...corpus.rawProfile, frame }) };
  }),
  {
    ...corpora[9]!,
    name: 'an index without a clock that wraps after four',
    ...varied({ ...corpora[9]!.rawProfile, stamp: undefined, sequence: { group: 'n', wraps_after: 4 } }),
  },
];

function varied(rawProfile: Record<string, unknown>): {
  rawProfile: typeof rawProfile;
  profile: InstrumentProfile;
} {
  const profile = readProfile(rawProfile);
  if (!profile.ok) throw new Error(profile.error.message);
  return { rawProfile, profile: profile.value };
}

/** Where the decoder is stricter on purpose: two signs in the sign column, and gross − tare = net to the last digit. */
function isStricter(name: string): boolean {
  return name.startsWith('05-') || name.startsWith('09-');
}

function offsetsOf(found: {
  readonly accepted: readonly object[];
  readonly refused: readonly object[];
}): number[] {
  const all = [...found.accepted, ...found.refused].map((one) => ('offset' in one ? Number(one.offset) : -1));
  return all.sort((a, b) => a - b);
}

describe('on damaged mixtures of the recordings the decoder says what the reference reader says', () => {
  test.each(cases)('$name', ({ name, bytes: own, rawProfile, profile }) => {
    fc.assert(
      fc.property(mixtureFor(own), pieceSizes, ({ bytes, losses }, sizes) => {
        const ours = asSidecar(decodeAll(profile, bytes, { losses, cutting: cuttingOf(sizes) }));
        const reference = readByReference(rawProfile, bytes, losses);
        if (!isStricter(name)) {
          expect(ours).toEqual(reference);
          return;
        }
        for (const indication of ours.accepted) expect(reference.accepted).toContainEqual(indication);
        // A ticket is refused at its begin, but read at its net line.
        if (name.startsWith('05-')) expect(offsetsOf(ours)).toEqual(offsetsOf(reference));
      }),
      { numRuns: 150, seed: 20_310_417 },
    );
  });
});
