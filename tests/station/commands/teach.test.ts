import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { readProfile } from '../../../drivers/profile.ts';
import { createPseudoTerminal } from '../../../drivers/simulated/pseudo-terminal.ts';
import { bandwright } from './running.ts';

const folder = mkdtempSync(join(tmpdir(), 'bandwright-teach-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const commandLine = fileURLToPath(new URL('../../../electron/station/command-line.ts', import.meta.url));

describe('teaching from the command line', () => {
  it('learns an instrument on a port from what a person types, records it, and learns the same from the recording', async () => {
    const line = createPseudoTerminal('taught');
    const shown = (text: string, word: string) =>
      line.send(Buffer.from(`LOAD ${text.padStart(9)} g ${word}\r\n`));
    const recording = join(folder, 'lesson.jsonl');
    const child = spawn(
      process.execPath,
      [commandLine, 'teach', '--port', line.path, '--record', recording, '--name', 'taught-here'],
      { stdio: 'pipe' },
    );
    let out = '';
    let said = '';
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      out += text;
    });
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      said += text;
    });
    const ended = new Promise<number | null>((done) => child.once('close', done));
    try {
      await expect.poll(() => said, { timeout: 10_000 }).toContain('Type what the display shows');
      for (const text of ['3.10', '7.25', '11.00']) shown(text, 'move');
      // What a person reads may be on its way still: the display is looked for until it is found.
      await expect
        .poll(
          async () => {
            child.stdin.write('11.00 g unstable\n');
            return said;
          },
          { timeout: 10_000, interval: 200 },
        )
        .toContain('11.00 g unstable: found.');
      for (let count = 0; count < 5; count++) shown('12.34', 'rest');
      await expect
        .poll(
          async () => {
            child.stdin.write('12.34 g stable\n');
            return said;
          },
          { timeout: 10_000, interval: 200 },
        )
        .toContain('12.34 g stable: found.');
      child.stdin.write('\n');
      expect(await ended).toBe(0);
    } finally {
      child.kill();
      line.dispose();
    }
    const profile = JSON.parse(out);
    expect(readProfile(profile).ok).toBe(true);
    expect(profile).toMatchObject({
      name: 'taught-here',
      stability: { stable: ['rest'], unstable: ['move'] },
      serial: { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 },
    });

    const again = await bandwright(['teach', '--replay', recording, '--json'], '12.34 g stable\n');
    expect([again.code, JSON.parse(again.out).pattern]).toEqual([0, profile.pattern]);

    // The profile is a file as decode takes it.
    const file = join(folder, 'profile.json');
    writeFileSync(file, out);
    const decoded = await bandwright(
      ['decode', '--profile', file, '--json'],
      'LOAD      1.00 g rest\r\nLOAD      2.50 g move\r\n',
    );
    expect(
      decoded.out
        .trim()
        .split('\n')
        .map((one) => JSON.parse(one)),
    ).toMatchObject([{ refused: 'first_partial' }, { text: '2.50', unit: 'g', state: 'unstable' }]);
    expect(readFileSync(recording, 'utf8').split('\n')[0]).toContain('bandwright recording');
  });

  it.each([
    [['teach'], '--port: missing'],
    [['teach', '--port', '/dev/bandwright-none'], 'is not there'],
    [['teach', '--port', '/dev/x', '--baud', 'fast'], '--baud: "fast" is no baud rate'],
    [['teach', '--port', '/dev/x', '--format', '9X9'], '--format: "9X9" is not known'],
    [['teach', '--replay', '/no/such/file'], 'cannot be read'],
  ])('%j is bad input: one clear line', async (words, sentence) => {
    const { code, out, error } = await bandwright(words);
    expect([code, out]).toEqual([2, '']);
    expect(error.trim().split('\n')).toHaveLength(1);
    expect(error).toContain(sentence);
  });

  it('lists ports as JSON that names each by what tells it from the others', async () => {
    const { code, out } = await bandwright(['ports', '--json']);
    expect(code).toBe(0);
    for (const port of JSON.parse(out)) {
      expect(['serial number', 'device', 'socket', 'path']).toContain(port.knownBy);
      expect(port.identity.path).toBe(port.path);
    }
  });
});
