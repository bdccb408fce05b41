import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createLineShapes } from '../../../drivers/decode/line-shape.ts';
import { compileReading } from '../../../drivers/decode/reading.ts';
import { createDecoder, type Outcome } from '../../../drivers/decode.ts';
import { isDigitBlind } from '../../../drivers/profile/digit-blind.ts';
import { bytesOfExample } from '../../../drivers/profile/example.ts';
import { compileWhole, withoutNames } from '../../../drivers/profile/pattern.ts';
import { builtInProfileNames, findBuiltInProfile } from '../../../drivers/profiles/index.ts';

const profiles = builtInProfileNames.map((name) => findBuiltInProfile(name)!);
/** Profiles of which each example is one line by itself, whatever came before. */
const lineByLine = profiles.filter(
  (profile) =>
    profile.pattern !== undefined &&
    profile.hid === undefined &&
    profile.ticket === undefined &&
    profile.unit_line === undefined &&
    profile.dump === undefined &&
    profile.sequence === undefined &&
    profile.stamp === undefined,
);

/** Outcomes without their places. Bytes between frames are told with the frame after them, so they are left out. */
function plain(outcomes: readonly Outcome[]) {
  return outcomes
    .map((outcome) => {
      if (outcome.kind === 'rejection') return outcome.rejection.refused;
      const { offset: _, ...indication } = outcome.indication;
      return { ...indication, raw: Buffer.from(outcome.raw).toString('latin1') };
    })
    .filter((outcome) => outcome !== 'outside_frame');
}

describe.each(lineByLine.map((profile) => ({ name: profile.name, profile })))('$name', ({ profile }) => {
  const examples = profile.examples.map((example) => Buffer.from(bytesOfExample(example))).filter(endsWhole);
  /** Nothing of it is left in the decoder. */
  function endsWhole(bytes: Uint8Array): boolean {
    const decoder = createDecoder(profile, { synchronised: true });
    decoder.push(bytes);
    return decoder.heldBytes === 0;
  }

  // Another digit for some of the digits, now and then another byte for one.
  const changed = fc
    .tuple(
      fc.constantFrom(...examples),
      fc.array(fc.nat(9), { minLength: 1, maxLength: 7 }),
      fc.option(fc.tuple(fc.nat(60), fc.nat(255)), { freq: 12 }),
    )
    .map(([example, digits, other]) => {
      const bytes = Buffer.from(example);
      let turn = 0;
      for (let index = 0; index < bytes.length; index += 1) {
        const isDigit = bytes[index]! >= 0x30 && bytes[index]! <= 0x39;
        if (isDigit) bytes[index] = 0x30 + digits[turn++ % digits.length]!;
      }
      if (other !== null && other[0] < bytes.length) bytes[other[0]] = other[1];
      return bytes;
    })
    .filter(endsWhole);

  test('a line of a shape that came before is read as if it were the first', () => {
    fc.assert(
      fc.property(fc.array(changed, { minLength: 30, maxLength: 60 }), (lines) => {
        const long = createDecoder(profile, { synchronised: true });
        for (const line of lines) {
          const fresh = createDecoder(profile, { synchronised: true });
          expect(plain(long.push(line))).toEqual(plain(fresh.push(line)));
        }
      }),
      { numRuns: 12, seed: 7 },
    );
  });
});

function shapesOf(name: string) {
  const profile = findBuiltInProfile(name)!;
  const { source, names } = withoutNames(profile.pattern!);
  const pattern = compileWhole(source);
  const reader = compileReading(profile, names);
  const shapes = createLineShapes(profile, names, pattern, reader)!;
  return {
    learn(line: string) {
      const reading = reader.read(pattern.exec(line)!, 0, undefined);
      if (typeof reading === 'string') throw new Error(reading);
      for (let time = 0; time < 5; time += 1) shapes.learn(line, reading);
    },
    read: (line: string) => shapes.read(line, 0, line.length, 0),
  };
}

test('one line tells how all lines of its shape are read; another shape is not known', () => {
  const { learn, read } = shapesOf('scale-comma-header');
  learn('ST,GS,-  0.000kg');
  expect(read('ST,GS,-  0.870kg')).toEqual({
    ...{ offset: 0, text: '-0.870', value: -0.87, unit: 'kg', state: 'stable' },
    columns: { mode: 'GS' },
  });
  expect(read('ST,GS,-  0.870kg')).not.toBe(read('ST,GS,-  0.870kg'));
  expect(read('ST,GS,-  7.000kg')).toBe('out_of_range');
  expect(read('ST,GS,+  4.870kg')).toBeUndefined();
  expect(read('ST,GS,- 14.870kg')).toBeUndefined();
  expect(read('ST,GS,-  4.870k')).toBeUndefined();
});

test('a number that a profile refuses is refused, however often its shape was read before', () => {
  const profile = structuredClone(findBuiltInProfile('scale-value-and-unit')!);
  const decoder = createDecoder(
    { ...profile, refuse_lines: [{ pattern: ' *9+\\.9+ ', reason: 'overload' }] },
    { synchronised: true },
  );
  for (let time = 0; time < 20; time += 1) decoder.push(Buffer.from(`1.23${time % 10} kg\r\n`));
  expect(plain(decoder.push(Buffer.from('9.999 kg\r\n')))).toEqual(['overload']);
});

test.each([
  { source: '^\\d+ kg$', isBlind: true },
  { source: '[0-9]{3}[A-F\\d]\\b.\\w\\S[^,]', isBlind: true },
  { source: '(?!\\d)x', isBlind: true },
  { source: '^1\\d', isBlind: false },
  { source: '[0-4]', isBlind: false },
  { source: '[^9]', isBlind: false },
  { source: 'x(?=2)', isBlind: false },
  { source: '\\x31', isBlind: false },
])('$source takes one digit as well as another: $isBlind', ({ source, isBlind }) => {
  expect(isDigitBlind(source)).toBe(isBlind);
});
