import { describe, expect, test } from 'vitest';
import { createDecoder } from '../../drivers/decode.ts';
import { readProfile } from '../../drivers/profile.ts';
import { builtInProfileNames, findBuiltInProfile } from '../../drivers/profiles/index.ts';
import {
  beginLesson,
  buildProfile,
  confirmDisplay,
  type Display,
  type Lesson,
  rankProfiles,
} from '../../drivers/teach.ts';
import type { Result } from '../../shared/result.ts';
import { corpora } from './decode/corpora.ts';

const about = { name: 'taught-here', title: { en: 'Taught', de: 'Angelernt' } };
const kilograms = (text: string, state: Display['state']): Display => ({ text, unit: 'kg', state });

function must<Value>(result: Result<Value>): Value {
  if (!result.ok) throw new Error(`${result.error.code}: ${result.error.message}`);
  return result.value;
}

function lessonOf(text: string | Uint8Array, displays: readonly Display[]): Lesson {
  const bytes = typeof text === 'string' ? Buffer.from(text, 'latin1') : text;
  return displays.reduce(
    (lesson, display) => must(confirmDisplay(lesson, display)),
    must(beginLesson(bytes)),
  );
}

const stream = (lines: readonly string[], end = '\r\n') => `67kg${end}${lines.join(end)}${end}ST,`;

const commaHeader = stream([
  'US,GS,+   1.000kg',
  'US,GS,+   7.500kg',
  'US,GS,+  11.250kg',
  'ST,GS,+  12.345kg',
  'ST,GS,+  12.345kg',
]);

describe('a continuous scale is taught from its lines and its display', () => {
  const lesson = lessonOf(commaHeader, [kilograms('7.500', 'unstable'), kilograms('12.345', 'stable')]);
  const profile = must(buildProfile(lesson, about));

  test('line end, value, unit and flag are found', () => {
    expect(profile).toMatchObject({
      frame: { ends: ['0d0a'], first_line: 'drop' },
      units: { kg: 'kg' },
      stability: { group: 'flag', stable: ['ST'], unstable: ['US'] },
      kind: 'mass',
    });
  });

  test('the profile passes the schema and carries the recording as its example', () => {
    expect(readProfile(JSON.parse(JSON.stringify(profile)))).toEqual({ ok: true, value: profile });
    const [example] = profile.examples;
    expect(Buffer.from(example?.hex ?? '', 'hex').toString('latin1')).toBe(
      commaHeader.slice(commaHeader.indexOf('\n') + 1),
    );
    expect(example?.expected.map((one) => ('text' in one ? one.text : one.refused))).toEqual([
      '1.000',
      '7.500',
      '11.250',
      '12.345',
      '12.345',
      'unfinished',
    ]);
  });

  test('it reads new lines of the instrument and refuses what was never confirmed', () => {
    const decoder = createDecoder(profile, { synchronised: true });
    const lines = [
      'ST,GS,-   0.015kg',
      'OL,GS,+        kg',
      'ST,GS,+  12.345lb',
      'XX,GS,+  12.345kg',
      'ST,NT,+  12.345kg',
    ];
    const outcomes = decoder.push(Buffer.from(`${lines.join('\r\n')}\r\n`));
    expect(
      outcomes.map((outcome) =>
        outcome.kind === 'indication' ? outcome.indication.text : outcome.rejection.refused,
      ),
    ).toEqual(['-0.015', 'no_match', 'unit_not_allowed', 'no_match', 'no_match']);
  });

  test('with only one state confirmed, the other one is refused and not guessed', () => {
    const half = must(buildProfile(lessonOf(commaHeader, [kilograms('12.345', 'stable')]), about));
    expect(half.stability).toEqual({ group: 'flag', stable: ['ST'], unstable: [] });
    const [unstable] = createDecoder(half, { synchronised: true }).push(Buffer.from('US,GS,+   1.000kg\r\n'));
    expect(unstable).toMatchObject({ rejection: { refused: 'unknown_status' } });
  });
});

describe('other ways of telling', () => {
  test('a question mark that comes and goes is the flag', () => {
    const text = stream(['    0.360 kg    G', '    0.319 kg   ?G', '    1.032 kg   ?G', '    1.645 kg    G']);
    const profile = must(
      buildProfile(lessonOf(text, [kilograms('1.032', 'unstable'), kilograms('1.645', 'stable')]), about),
    );
    expect(profile.stability).toEqual({ group: 'flag', stable: [''], unstable: ['?'] });
  });

  test('a decimal comma and a line feed alone are found', () => {
    const lesson = lessonOf(stream(['   12,345 kg', '   12,350 kg', '    0,005 kg'], '\n'), [
      kilograms('0,005', null),
    ]);
    const profile = must(buildProfile(lesson, { ...about, division: '0.005' }));
    expect(profile).toMatchObject({
      decimal: ',',
      frame: { ends: ['0a'] },
      steadiness: { division: { kg: '0.005' } },
    });
  });

  test('start and end bytes are found', () => {
    const text = ['\x02   12.50G\x03', '\x02   13.50G\x03', '\x02-   0.02N\x03'].join('');
    expect(must(beginLesson(Buffer.from(text))).frame).toMatchObject({ start: '02', ends: ['03'] });
  });

  test('the parity bit left in is seen, the right setting named, and the lines are read all the same', () => {
    const { bytes } = corpora[6]!;
    const lesson = lessonOf(bytes, [kilograms('5.298', 'unstable'), kilograms('6.250', 'stable')]);
    expect(lesson.highBit).toMatchObject({ isParity: true, setting: '7E1' });
    expect(lesson.highBit.share).toBeGreaterThan(0.2);
    const profile = must(buildProfile(lesson, about));
    expect(profile).toMatchObject({ clear_high_bit: true, stability: { stable: ['ST'], unstable: ['US'] } });
  });

  test('a wrench’s unit behind a comma and its angle are found', () => {
    const { bytes } = corpora[9]!;
    const profile = must(
      buildProfile(lessonOf(bytes, [{ text: '103.5', unit: 'N.m', state: null }]), {
        ...about,
        torque: 'peak',
      }),
    );
    expect(profile).toMatchObject({ kind: 'torque', state: 'peak', units: { nm: 'N.m' } });
    const outcomes = createDecoder(profile).push(bytes);
    expect(outcomes.filter(({ kind }) => kind === 'indication')).toHaveLength(11);
    expect(outcomes.find(({ kind }) => kind === 'indication')).toMatchObject({
      indication: { columns: { angle: expect.any(String) } },
    });
  });
});

describe('what cannot be taught is refused with what to do', () => {
  const lesson = must(beginLesson(Buffer.from(commaHeader)));

  test.each([
    ['silence', () => beginLesson(Buffer.from('12.345 kg')), 'no_lines'],
    [
      'lines without a number',
      () => beginLesson(Buffer.from(stream(['ready', 'ready', 'ready']))),
      'no_number',
    ],
    [
      'a display that no line shows',
      () => confirmDisplay(lesson, kilograms('99.999', 'stable')),
      'display_not_found',
    ],
    [
      'a display that is no number',
      () => confirmDisplay(lesson, kilograms('twelve', 'stable')),
      'not_a_number',
    ],
    [
      'a unit other than the line says',
      () => confirmDisplay(lesson, { text: '12.345', unit: 'g', state: 'stable' }),
      'unit_disagrees',
    ],
    [
      'states that no column tells apart',
      () =>
        confirmDisplay(
          lessonOf(commaHeader, [kilograms('11.250', 'unstable')]),
          kilograms('7.500', 'stable'),
        ),
      'state_disagrees',
    ],
    ['a lesson without confirmation', () => buildProfile(lesson, about), 'unconfirmed'],
  ])('%s', (_, act, code) => {
    expect(act()).toMatchObject({ ok: false, error: { code, message: expect.stringMatching(/[;,] /) } });
  });
});

test('built-in profiles that read a recording are named, the best first', () => {
  const builtIn = builtInProfileNames.map((name) => findBuiltInProfile(name)!);
  const best = (which: number) => rankProfiles(corpora[which]!.bytes, builtIn)[0];
  expect(best(0)).toMatchObject({ profile: { name: 'scale-comma-header' }, accepted: 29, refused: 1 });
  expect(best(5)?.profile.name).toBe('scale-lf-cr-standard');
  expect(best(3)?.profile.name).toBe('scale-status-bytes-checksum');
  expect(rankProfiles(Buffer.from('nothing\r\n'), builtIn)).toEqual([]);
});
