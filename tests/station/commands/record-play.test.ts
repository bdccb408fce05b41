import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it, onTestFinished } from 'vitest';
import { createDecoder } from '../../../drivers/decode.ts';
import { createSystemClock } from '../../../drivers/port/clock.ts';
import { parseRecording } from '../../../drivers/port/recording.ts';
import { createSerialPort } from '../../../drivers/port/serial-port.ts';
import { findBuiltInProfile } from '../../../drivers/profiles/index.ts';
import { startSimulatedScale } from '../../../drivers/simulated/simulated-scale.ts';
import { collectText, untilState } from '../../serial/waiting.ts';
import { bandwright } from './running.ts';

const folder = mkdtempSync(join(tmpdir(), 'bandwright-record-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const commandLine = fileURLToPath(new URL('../../../electron/station/command-line.ts', import.meta.url));
const clock = createSystemClock();
const settings = { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 } as const;

function start(words: readonly string[]) {
  const child: ChildProcess = spawn(process.execPath, [commandLine, ...words], { stdio: 'pipe' });
  onTestFinished(() => void child.kill());
  const seen = { out: '', error: '' };
  child.stdout?.setEncoding('utf8').on('data', (text: string) => {
    seen.out += text;
  });
  child.stderr?.setEncoding('utf8').on('data', (text: string) => {
    seen.error += text;
  });
  const ended = new Promise<number | null>((done) => child.once('close', done));
  return { seen, ended };
}

/** What a scale says in these pieces, one decoder reading all. */
function decoded(bytes: Uint8Array) {
  const profile = findBuiltInProfile('scale-comma-header');
  if (profile === undefined) throw new Error('no such profile');
  return createDecoder(profile)
    .push(bytes)
    .map((outcome) => (outcome.kind === 'indication' ? outcome.indication : outcome.rejection));
}

describe('recording an instrument and playing it', () => {
  it('what is read from a played recording decodes to what the scale said, over a pulled cable too', async () => {
    const scale = startSimulatedScale({ profileName: 'scale-comma-header', clock, seed: 3 });
    onTestFinished(() => scale.stop());
    const file = join(folder, 'scale.jsonl');
    const about = ['--port', scale.path, '--profile', 'scale-comma-header', '--seconds', '3'];
    const recorder = start(['record', ...about, '--out', file, '--json']);
    // The program just started has inherited the terminal of the scale, which it would hold open; not the next one.
    scale.unplug();
    scale.replug();
    const lines = () => (existsSync(file) ? readFileSync(file, 'utf8').split('\n').length : 0);
    await expect.poll(lines, { timeout: 10_000 }).toBeGreaterThan(5);
    scale.act({ kind: 'dish on' });
    scale.unplug();
    await new Promise((resolve) => setTimeout(resolve, 300));
    scale.replug();
    expect([await recorder.ended, recorder.seen.error]).toEqual([
      0,
      expect.stringContaining('the connection is gone'),
    ]);
    const recording = parseRecording(readFileSync(file, 'utf8'));
    if (!recording.ok) throw new Error(recording.error.message);
    const said = recording.value.entries.flatMap((entry) =>
      'bytes' in entry ? [Buffer.from(entry.bytes, 'base64')] : [],
    );
    const bytes = Buffer.concat(said);
    expect(JSON.parse(recorder.seen.out)).toMatchObject({ file, bytes: bytes.length, losses: 1 });
    expect(recording.value.header).toMatchObject({ profile: 'scale-comma-header', serial: { baud: 9600 } });

    const link = join(folder, 'ttyPLAYED');
    const player = start(['play', file, '--link', link, '--delay', '2', '--json']);
    await expect.poll(() => player.seen.out, { timeout: 10_000 }).toContain('"path"');
    expect(JSON.parse(player.seen.out)).toMatchObject({ path: link, profile: 'scale-comma-header' });
    const port = createSerialPort({ path: link, settings, clock });
    onTestFinished(() => port.close());
    const heard = collectText(port);
    const states: string[] = [];
    port.onState(({ kind }) => states.push(kind));
    port.open();
    await untilState(port, 'open');
    expect(await player.ended).toBe(0);
    expect(JSON.parse(player.seen.out.trim().split('\n')[1] ?? '')).toEqual({
      sentBytes: bytes.length,
      lostBytes: 0,
    });
    expect(heard.text()).toBe(bytes.toString('latin1'));
    expect(decoded(Buffer.from(heard.text(), 'latin1'))).toEqual(decoded(bytes));
    expect(decoded(bytes).filter((one) => 'text' in one).length).toBeGreaterThan(10);
    expect(states.filter((kind) => kind === 'open')).toHaveLength(2);
    expect(existsSync(link)).toBe(false);
  });

  it('a port that another program has is refused in words, and no file is left', async () => {
    const scale = startSimulatedScale({ profileName: 'scale-comma-header', clock, seed: 3 });
    onTestFinished(() => scale.stop());
    const port = scale.createPort(settings);
    onTestFinished(() => port.close());
    port.open();
    await untilState(port, 'open');
    const file = join(folder, 'busy.jsonl');
    const { code, error } = await bandwright(['record', '--port', scale.path, '--out', file]);
    expect(code).toBe(2);
    expect(error).toMatch(/^--port: .* is in use by another program .*\.\n$/);
    expect(existsSync(file)).toBe(false);
  });

  const taken = join(folder, 'taken');
  writeFileSync(taken, 'mine');
  const empty = join(folder, 'empty.jsonl');
  writeFileSync(
    empty,
    '{"format":"bandwright recording","version":1,"profile":null,"serial":null,"startedAt":"2031-04-17T10:02:11.000+02:00"}\n',
  );

  it.each([
    [['record'], '--port: missing'],
    [['record', '--port', '/dev/x'], '--out: missing'],
    [['record', '--port', '/dev/x', '--out', taken], '--out: '],
    [['record', '--port', '/dev/bandwright-none', '--out', join(folder, 'none')], 'is not there'],
    [['record', '--port', '/dev/x', '--out', 'x', '--seconds', 'long'], '--seconds: "long" cannot be used'],
    [['record', '--port', '/dev/x', '--out', 'x', '--profile', 'hid-scale'], 'is a HID scale'],
    [['play'], 'play: give a recording'],
    [['play', '/no/such/file'], 'cannot be read'],
    [['play', taken], 'line 1'],
    [['play', empty, '--speed', '0'], '--speed: "0" cannot be used'],
    [['play', empty, '--link', taken], '--link: '],
  ])('%j is bad input: one clear line', async (words, sentence) => {
    const { code, out, error } = await bandwright(words);
    expect([code, out]).toEqual([2, '']);
    expect(error.trim().split('\n')).toHaveLength(1);
    expect(error).toContain(sentence);
  });
});
