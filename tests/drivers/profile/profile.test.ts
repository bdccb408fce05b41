import { describe, expect, test } from 'vitest';
import { measurandOf, readProfile } from '../../../drivers/profile.ts';
import { corpora } from '../decode/corpora.ts';

const usable = {
  frame: { ends: ['0d0a'], max_bytes: 64 },
  pattern: '^(?<st>ST|US) (?<value>\\d+\\.\\d+) (?<unit>kg)$',
  stability: { group: 'st', stable: ['ST'], unstable: ['US'] },
  units: { kg: 'kg' },
};

function refusalOf(change: object): string {
  const profile = readProfile({ ...usable, ...change });
  return profile.ok ? 'taken' : `${profile.error.field}: ${profile.error.message}`;
}

describe('a profile file', () => {
  test('a sidecar’s profile works as it stands, and so does the profile alone', () => {
    for (const { rawProfile, profile } of corpora) {
      expect(readProfile(rawProfile)).toEqual({ ok: true, value: profile });
      expect(measurandOf(profile)).toBe(rawProfile.kind);
    }
  });

  test('read, written and read again it is the same: evidence keeps it', () => {
    for (const { profile } of corpora) {
      expect(readProfile(JSON.parse(JSON.stringify(profile)))).toEqual({ ok: true, value: profile });
    }
  });

  test('words of its own are no fault', () => {
    expect(refusalOf({ note: 'n', source: 's', about: 'a', colour: 'red' })).toBe('taken');
  });

  test('without a word for it, what it measures follows from its units', () => {
    const profile = readProfile({ ...usable, units: { kg: 'N.m' } });
    expect(profile.ok && measurandOf(profile.value)).toBe('torque');
  });
});

describe('what cannot be used is refused by the path of its field, what is wrong and what to do', () => {
  test.each([
    ['no frame', { frame: undefined }, 'frame: missing; give an object'],
    ['no end', { frame: { ends: [], max_bytes: 64 } }, /^frame\.ends: /],
    [
      'odd hexadecimal digits',
      { frame: { ends: ['0d0'], max_bytes: 64 } },
      'frame.ends[0]: must be pairs of hexadecimal digits, for example 0d0a',
    ],
    ['a cap of nothing', { frame: { ends: ['0a'], max_bytes: 0 } }, /^frame\.max_bytes: /],
    ['a cap beyond 64 KiB', { frame: { ends: ['0a'], max_bytes: 65_537 } }, /^frame\.max_bytes: /],
    [
      'an unknown rule for the first line',
      { frame: { ends: ['0a'], max_bytes: 9, first_line: 'maybe' } },
      /^frame\.first_line: .*drop, accept only if it matches, as any other/,
    ],
    ['no pattern', { pattern: undefined }, /^pattern: is missing/],
    ['a pattern that is none', { pattern: '(?<value>' }, /^pattern: is not a regular expression/],
    [
      'no value group',
      { pattern: '^(?<st>\\d) (?<unit>kg)$' },
      'pattern: no group named value stands in pattern; add it there or correct the name',
    ],
    [
      'a group that is not there',
      { stability: { group: 'mark', stable: [] } },
      'stability.group: no group named mark stands in pattern; add it there or correct the name',
    ],
    [
      'a bit group that is not there',
      { bits: [{ group: 'B', bit: 1, one: 'stable' }] },
      /^bits\[0\]\.group: /,
    ],
    [
      'a meaning that is none',
      { bits: [{ group: 'st', bit: 1, one: 'net' }] },
      /^bits\[0\]\.one: "net" is not known; give negative, refuse:REASON/,
    ],
    [
      'a unit that we do not know',
      { units: { kg: 'stone' } },
      /^units\.kg: the text "stone" is not one of g, mg, kg/,
    ],
    [
      'nothing that tells the unit',
      { pattern: '^(?<st>ST) (?<value>\\d+)$', units: {} },
      /^units: nothing tells the unit/,
    ],
    [
      'a range the wrong way round',
      { range: { kg: [5, -5] } },
      'range.kg: has its limits the wrong way round; give [lower, upper]',
    ],
    [
      'a stamp that cannot be read',
      { stamp: { group: 'st', format: 'yesterday' } },
      /^stamp\.format: must be written with yyyy or yy/,
    ],
    [
      'a check byte without start bytes',
      { checksum: { kind: 'xor8' } },
      /^checksum\.kind: needs frame\.start/,
    ],
    ['a kind of check byte we do not know', { checksum: { kind: 'crc32' } }, /^checksum\.kind: /],
    [
      'a refused line whose pattern hangs',
      { refuse_lines: [{ pattern: '^(a+)+$', reason: 'overload' }] },
      /^refuse_lines\[0\]\.pattern: could try exponentially many ways/,
    ],
    [
      'a reason in capitals',
      { refuse_lines: [{ pattern: '^OL', reason: 'Overload' }] },
      /^refuse_lines\[0\]\.reason: must be a reason in small letters/,
    ],
    [
      'a ticket whose reading is not there',
      { ticket: { begin: '^B', lines: { net: '^(?<value>\\d+)$' }, report: 'gross' } },
      /^ticket\.report: no line named gross/,
    ],
    ['no request bytes', { request: { poll_ms: 5 } }, /^request\.hex: is missing/],
  ])('%s', (_, change, expected) => {
    if (typeof expected === 'string') expect(refusalOf(change)).toBe(expected);
    else expect(refusalOf(change)).toMatch(expected);
  });

  test('in a sidecar the path begins with profile', () => {
    const refused = readProfile({ profile: { ...usable, pattern: '(' } });
    expect(refused).toMatchObject({ ok: false, error: { field: 'profile.pattern' } });
  });
});

describe('a profile may only ask', () => {
  const hex = (text: string) => Buffer.from(text, 'latin1').toString('hex');

  // Source: the memory clearing command of line shape T1 (seen); the other words are common practice, no source.
  test.each([
    'CLRMEM\r',
    'clrmem\r',
    'CLR\r',
    'MEMCLR\r',
    'DEL 1\r\n',
    'ERASE\r',
    '*RST\r\n',
    'CAL\r',
    'RESET\r',
    ':SYST:CLEAR\n',
  ])('%j is refused', (command) => {
    expect(refusalOf({ request: { hex: hex(command) } })).toMatch(
      /^request\.hex: sends \w+, which \w.* something in the instrument; a profile may only ask$/,
    );
  });

  test('also in a step, for tare and zero, and with a parity bit over it', () => {
    expect(refusalOf({ request: { steps: [{ send_hex: '05' }, { send_hex: hex('CLR\r') }] } })).toMatch(
      /^request\.steps\[1\]\.send_hex: /,
    );
    expect(refusalOf({ tare_request: { hex: hex('DEL\r') } })).toMatch(/^tare_request\.hex: /);
    expect(
      refusalOf({
        zero_request: {
          hex: 'c3ccd2',
        },
      }),
    ).toMatch(/^zero_request\.hex: /);
  });

  test.each(['S\r\n', 'SI\r\n', '?\r', 'MEM\r', 'STA\r', 'DR\r\n', 'MODEL?\r', 'T\r', 'Z\r', '\x05', 'W\r'])(
    '%j is taken',
    (command) => {
      expect(refusalOf({ request: { hex: hex(command) } })).toBe('taken');
    },
  );
});
