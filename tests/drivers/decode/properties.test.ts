import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createDecoder, type Outcome } from '../../../drivers/decode.ts';
import { bytesOfExample } from '../../../drivers/profile/example.ts';
import type { InstrumentProfile } from '../../../drivers/profile.ts';
import { builtInProfileNames, findBuiltInProfile } from '../../../drivers/profiles/index.ts';
import { corpora, feed, wholeFile } from './corpora.ts';
import { cuttingOf, mixtureFor, pieceSizes } from './mixtures.ts';

const fromCorpora = corpora.map(({ name, profile, bytes }) => ({ name, profile, own: bytes as Uint8Array }));
// Reports of a HID scale come whole from the system: how they are cut does mean something.
const lineProfileNames = builtInProfileNames.filter((name) => findBuiltInProfile(name)?.hid === undefined);
const builtIn = lineProfileNames.map((name) => {
  const profile = findBuiltInProfile(name)!;
  return { name, profile, own: Buffer.concat(profile.examples.map(bytesOfExample)) as Uint8Array };
});

/** Bytes that a decoder may hold: the cap, one start, end and tail, and of a ticket or heading its lines. */
function mostHeldBytes({ frame, ticket, unit_line: unitLine }: InstrumentProfile): number {
  const longest = (hex: readonly string[]) => Math.max(0, ...hex.map((text) => text.length / 2));
  const line = frame.max_bytes + longest(frame.ends) + longest([frame.start ?? '']) + frame.tail + 1;
  const lines = ticket === undefined ? 0 : Object.keys(ticket.lines).length + 2;
  return line * (1 + lines + Number(unitLine !== undefined));
}

function plain(outcomes: readonly Outcome[]) {
  return outcomes.map((outcome) =>
    outcome.kind === 'rejection'
      ? { ...outcome.rejection, endOffset: outcome.endOffset }
      : {
          ...outcome.indication,
          startOffset: outcome.startOffset,
          endOffset: outcome.endOffset,
          raw: Buffer.from(outcome.raw).toString('hex'),
        },
  );
}

/** The part of a line or frame that the profile's pattern describes, taken off by hand. */
function bodyOf(raw: Uint8Array, { frame, checksum, clear_high_bit: clear }: InstrumentProfile): string {
  const text = Buffer.from(raw.map((byte) => (clear ? byte & 0x7f : byte))).toString('latin1');
  const inner = text.slice((frame.start ?? '').length / 2, text.length - frame.tail);
  const end = frame.ends
    .map((hex) => Buffer.from(hex, 'hex').toString('latin1'))
    .find((candidate) => inner.endsWith(candidate));
  const body = inner.slice(0, inner.length - (end?.length ?? 0));
  return checksum?.kind === 'xor8' ? body.slice(0, -1) : body;
}

describe.each([...fromCorpora, ...builtIn])('$name', ({ profile, own }) => {
  const limit = mostHeldBytes(profile);
  const body = profile.pattern === undefined ? null : new RegExp(`^(?:${profile.pattern})$`, 's');

  test('for any bytes and any cutting: nothing is thrown, the cap is kept, cutting changes nothing, only whole matches are read', () => {
    fc.assert(
      fc.property(mixtureFor(own), pieceSizes, ({ bytes, losses }, sizes) => {
        const whole = plain(feed(createDecoder(profile), bytes, losses, wholeFile));
        const cut = feed(createDecoder(profile), bytes, losses, cuttingOf(sizes), ({ heldBytes }) => {
          expect(heldBytes).toBeLessThanOrEqual(limit);
        });
        expect(plain(cut)).toEqual(whole);
        for (const outcome of cut) {
          const offset = outcome.kind === 'indication' ? outcome.indication.offset : outcome.rejection.offset;
          expect(offset).toBeLessThanOrEqual(outcome.endOffset);
          expect(outcome.endOffset).toBeLessThanOrEqual(bytes.length);
          if (outcome.kind === 'rejection' || body === null) continue;
          const line = bytes.subarray(outcome.indication.offset, outcome.endOffset);
          expect(bodyOf(line, profile)).toMatch(body);
        }
      }),
      { numRuns: 40, seed: 31 },
    );
  });
});

test('a line of sixteen million bytes without an end is refused once and nothing is kept of it', () => {
  const { profile } = corpora[0]!;
  const decoder = createDecoder(profile);
  const chunk = Buffer.alloc(64 * 1024, 0x37);
  const outcomes: Outcome[] = [];
  for (let count = 0; count < 256; count += 1) {
    outcomes.push(...decoder.push(chunk));
    expect(decoder.heldBytes).toBeLessThanOrEqual(profile.frame.max_bytes);
  }
  outcomes.push(...decoder.push(Buffer.from('\r\nST,GS,+   1.000kg\r\n')));
  expect(plain(outcomes)).toMatchObject([{ offset: 0, refused: 'too_long' }, { text: '1.000' }]);
});

test('an outcome never comes after one whose bytes were all decided', () => {
  for (const { profile, bytes } of corpora) {
    const decoder = createDecoder(profile);
    for (const byte of bytes) {
      const before = decoder.openSince;
      for (const outcome of decoder.push(Uint8Array.of(byte))) {
        const offset = outcome.kind === 'indication' ? outcome.indication.offset : outcome.rejection.offset;
        expect(offset).toBeGreaterThanOrEqual(before);
      }
    }
  }
});
