import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import type { OptionValues } from '../../../electron/station/commands/command.ts';
import { decodeCommand } from '../../../electron/station/commands/decode.ts';
import { byOffset, corpora } from '../../drivers/decode/corpora.ts';
import { call } from './calling.ts';
import { bandwright } from './running.ts';

const corporaFolder = fileURLToPath(new URL('../../fixtures/corpora/', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'bandwright-decode-'));
afterAll(() => rmSync(folder, { recursive: true }));

const fileOf = (name: string, kind: 'bin' | 'json') => join(corporaFolder, `${name}.${kind}`);
const objects = (out: string): { offset: number }[] =>
  out === '' ? [] : out.split('\n').map((line) => JSON.parse(line));

function decode(input: string | Uint8Array, options: OptionValues, words: readonly string[] = []) {
  return call(decodeCommand, input, words, options);
}

describe('every recording, by its sidecar, from the command line', () => {
  const expectedOf = ({ accepted, refused }: (typeof corpora)[number]) =>
    [
      ...(accepted as readonly { offset: number }[]),
      ...refused.map(({ offset, reason }) => ({ offset, refused: reason })),
    ].sort(byOffset);

  test.each(
    corpora.flatMap((corpus) =>
      [undefined, '1', '7', '64', 'random:417'].map((chunk) => ({ corpus, name: corpus.name, chunk })),
    ),
  )('$name, pieces of $chunk', async ({ corpus, name, chunk }) => {
    const { code, out, error } = await decode(
      '',
      { profile: fileOf(name, 'json'), 'reconnect-at': corpus.losses.map(String), json: true, chunk },
      [fileOf(name, 'bin')],
    );
    expect({ code, error }).toEqual({ code: 0, error: '' });
    // In the order of the bytes, without sorting here.
    expect(objects(out)).toEqual(expectedOf(corpus));
  });
});

describe('the decode command, as its own process', () => {
  test('reads a file, prints one JSON object a line with its keys in order', async () => {
    const name = '10-torque-peak-index-judgement';
    const { losses } = corpora[9]!;
    const { code, out, error } = await bandwright([
      'decode',
      '--profile',
      fileOf(name, 'json'),
      ...losses.flatMap((loss) => ['--reconnect-at', String(loss)]),
      fileOf(name, 'bin'),
      '--json',
    ]);
    expect({ code, error }).toEqual({ code: 0, error: '' });
    expect(out.split('\n')[0]).toBe('{"offset":0,"refused":"first_partial"}');
    expect(out.split('\n')[1]).toBe(
      '{"offset":43,"text":"103.5","value":103.5,"unit":"N.m","state":"peak","seq":996,"stamp":"2031-04-17T10:00:10"}',
    );
    expect(out.endsWith('}\n')).toBe(true);
  });

  test('answers to what comes on standard input, with a built-in profile', async () => {
    const { code, out } = await bandwright(
      ['decode', '--profile', 'scale-value-and-unit'],
      '5 kg\r\n12.345 kg\r\n12.3',
    );
    expect(code).toBe(0);
    expect(out.split('\n')).toEqual([
      expect.stringMatching(/^ {7}0 {2}first_partial +The connection began/),
      expect.stringMatching(/^ {7}6 {2}12\.345 kg +unstable$/),
      expect.stringMatching(/^ {6}17 {2}unfinished +The data stopped/),
      '',
    ]);
  });

  test('a profile that cannot be used is one line with the field’s path, exit 2, nothing printed', async () => {
    const profile = join(folder, 'hanging.json');
    writeFileSync(
      profile,
      JSON.stringify({
        frame: { ends: ['0a'], max_bytes: 64 },
        pattern: '(?<value>(\\d+)+) (?<unit>kg)',
        units: { kg: 'kg' },
      }),
    );
    const { code, out, error } = await bandwright(['decode', '--profile', profile], '1 kg\n');
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(error).toMatch(/^pattern: could try exponentially many ways to read one line; [^\n]+\n$/);
  });
});

describe('words and files', () => {
  test('--columns adds the other columns; seq and stamp only where there are any', async () => {
    const line = 'HD,003,+088.0,nm,+028,deg,LO,123456A,31/04/17,10:03:10\r\n';
    const { out } = await decode(line, { profile: 'wrench-comma-line', json: true, columns: true });
    expect(JSON.parse(out)).toEqual({
      offset: 0,
      text: '88.0',
      value: 88,
      unit: 'N.m',
      state: 'peak',
      seq: 3,
      stamp: '2031-04-17T10:03:10',
      columns: { angle: '+028', judge: 'LO', id: '123456A' },
    });
    const read = await decode(line, { profile: 'wrench-comma-line', columns: true });
    expect(read.out).toBe(
      '       0  88.0 N.m              peak, no. 3, 2031-04-17T10:03:10, angle +028, judge LO, id 123456A',
    );
  });

  test('a port lost at the first byte, behind the last byte and beyond it', async () => {
    const lost = async (...at: string[]) => {
      const { out } = await decode('x\r\n1 kg\r\n2 k', {
        profile: 'scale-value-and-unit',
        json: true,
        'reconnect-at': at,
      });
      return objects(out).slice(2);
    };
    expect(await lost('0')).toEqual([{ offset: 9, refused: 'unfinished' }]);
    expect(await lost('12')).toEqual([{ offset: 9, refused: 'cut_by_reconnect' }]);
    expect(await lost('99', '12')).toEqual([{ offset: 9, refused: 'cut_by_reconnect' }]);
    expect(await lost('99')).toEqual([{ offset: 9, refused: 'cut_by_reconnect' }]);
  });

  test.each([
    ['no profile', {}, [], /^--profile: missing; give a JSON file or the name/],
    [
      'a profile that is not there',
      { profile: 'no-such' },
      [],
      /^--profile: "no-such" is no built-in profile and cannot be read as a file \(ENOENT\); give/,
    ],
    ['a profile that is a folder', { profile: tmpdir() }, [], /EISDIR/],
    [
      'an offset that is none',
      { profile: 'hid-scale', 'reconnect-at': ['x'] },
      [],
      /^--reconnect-at: "x" is not a byte offset; give/,
    ],
    ['a piece size that is none', { profile: 'hid-scale', chunk: '0' }, [], /^--chunk: "0" is neither/],
    [
      'a file that is not there',
      { profile: 'hid-scale' },
      ['no-such-file'],
      /^no-such-file: cannot be read \(ENOENT\); give/,
    ],
    ['two files', { profile: 'hid-scale' }, ['a', 'b'], /^"b": one file at a time; give/],
  ])('%s is bad input', async (_, options, words, message) => {
    const { code, out, error } = await decode('', options, words);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(error).toMatch(message);
    expect(error).not.toContain('\n');
  });

  test('a profile that is no JSON, with a byte order mark, or with a field at fault inside a sidecar', async () => {
    const file = join(folder, 'profile.json');
    writeFileSync(file, '{');
    expect(await decode('', { profile: file })).toMatchObject({
      code: 2,
      error: expect.stringMatching(/^--profile: .* is not JSON/),
    });
    writeFileSync(file, `\ufeff${JSON.stringify({ profile: { frame: { ends: ['0a'] } } })}`);
    expect(await decode('', { profile: file })).toMatchObject({
      code: 2,
      error: 'profile.frame.max_bytes: missing; give a number',
    });
  });
});
