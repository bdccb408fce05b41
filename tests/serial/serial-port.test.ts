import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { rmSync, symlinkSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { BytePort } from '../../drivers/port/byte-port.ts';
import { createSystemClock } from '../../drivers/port/clock.ts';
import type { InstrumentLine } from '../../drivers/port/instrument-line.ts';
import { createSerialPort } from '../../drivers/port/serial-port.ts';
import type { SerialSettings } from '../../drivers/port/serial-settings.ts';
import { createPseudoTerminal } from '../../drivers/simulated/pseudo-terminal.ts';
import { bytesOf, collectText, pause, until, untilState } from './waiting.ts';

const clock = createSystemClock();
const settings: SerialSettings = { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 };

let cable: InstrumentLine;
let port: BytePort;
let received: { text(): string };
let toInstrument: string;

beforeEach(() => {
  cable = createPseudoTerminal('instrument');
  toInstrument = '';
  cable.onBytes((chunk) => {
    toInstrument += Buffer.from(chunk).toString('latin1');
  });
  port = cable.createPort(settings, clock);
  received = collectText(port);
});
afterEach(async () => {
  await port.close();
  cable.dispose();
});

async function open(): Promise<void> {
  expect(port.open().ok).toBe(true);
  await untilState(port, 'open');
}

describe('a serial port', () => {
  test('delivers every byte value unchanged, with the time of its arrival', async () => {
    await open();
    const all = Uint8Array.from({ length: 256 }, (_, value) => value);
    const arrivals: number[] = [];
    port.onBytes((_, arrival) => arrivals.push(arrival.arrivedAtMilliseconds));
    const before = clock.nowMilliseconds();
    cable.send(all);
    await until('256 bytes', () => received.text().length >= 256);
    expect(received.text()).toBe(Buffer.from(all).toString('latin1'));
    for (const time of arrivals) expect(time).toBeGreaterThanOrEqual(before);
  });

  test('sends a request to the instrument', async () => {
    await open();
    expect(port.write(bytesOf('S\r\n')).ok).toBe(true);
    await until('the request', () => toInstrument === 'S\r\n');
  });

  test('refuses to send while it is closed or lost, and never sends that later', async () => {
    expect(port.write(bytesOf('before\r\n'))).toMatchObject({ ok: false, error: { code: 'port_not_open' } });
    await open();
    cable.unplug();
    await untilState(port, 'lost');
    expect(port.write(bytesOf('while lost\r\n'))).toMatchObject({
      ok: false,
      error: { code: 'port_not_open' },
    });
    cable.replug();
    await untilState(port, 'open');
    expect(port.write(bytesOf('after\r\n')).ok).toBe(true);
    await until('the last request', () => toInstrument.includes('after'));
    await pause(100);
    expect(toInstrument).toBe('after\r\n');
  });

  test('does not pile up what an instrument does not take', async () => {
    await open();
    const block = new Uint8Array(1024);
    const answers = Array.from({ length: 2000 }, () => port.write(block));
    expect(answers.at(-1)).toMatchObject({ ok: false, error: { code: 'port_congested' } });
  });

  test('is live again after the cable was pulled and put back, five times', async () => {
    await open();
    for (let round = 1; round <= 5; round += 1) {
      cable.unplug();
      await untilState(port, 'lost');
      expect(port.state).toMatchObject({ reason: 'unplugged' });
      cable.replug();
      await untilState(port, 'open');
      cable.send(bytesOf(`round ${round}\r\n`));
      await until(`round ${round}`, () => received.text().endsWith(`round ${round}\r\n`));
    }
    expect(received.text()).toBe('round 1\r\nround 2\r\nround 3\r\nround 4\r\nround 5\r\n');
  });

  // A read under way while the terminal hangs up returns nothing; the binding would read again for ever.
  test('is lost whenever the cable is pulled, right after a byte as well', async () => {
    await open();
    for (let round = 0; round < 25; round += 1) {
      const stop = port.onBytes(() => setImmediate(() => cable.unplug()));
      cable.send(bytesOf('S'));
      await untilState(port, 'lost');
      stop();
      cable.replug();
      port.tryNow();
      await untilState(port, 'open');
    }
  });

  test('stays lost since the moment of the loss while the path is away', async () => {
    await open();
    cable.unplug();
    await untilState(port, 'lost');
    const { state } = port;
    await pause(900);
    expect(port.state).toMatchObject({ kind: 'lost', since: 'since' in state ? state.since : null });
    cable.replug();
    await untilState(port, 'open');
  });

  test('waits for an instrument that is not there yet', async () => {
    cable.unplug();
    expect(port.open().ok).toBe(true);
    await untilState(port, 'missing');
    expect(port.state).toMatchObject({ message: `${cable.path} is not there.` });
    cable.replug();
    await untilState(port, 'open');
  });

  test('tells each change of state once and in order', async () => {
    const kinds: string[] = [];
    port.onState((state) => kinds.push(state.kind));
    await open();
    cable.unplug();
    await untilState(port, 'lost');
    await pause(700);
    cable.replug();
    await untilState(port, 'open');
    await port.close();
    expect(kinds).toEqual(['opening', 'open', 'lost', 'open', 'closed']);
  });

  test('stops trying once it is closed', async () => {
    await open();
    cable.unplug();
    await untilState(port, 'lost');
    await port.close();
    cable.replug();
    await pause(700);
    expect(port.state.kind).toBe('closed');
  });

  test('can be opened again after it was closed', async () => {
    await open();
    await port.close();
    await open();
    cable.send(bytesOf('hello\r\n'));
    await until('hello', () => received.text() === 'hello\r\n');
  });

  test('opens although a terminal has no modem lines to set', async () => {
    await port.close();
    port = createSerialPort({
      path: cable.path,
      clock,
      settings: { ...settings, modem_lines: { dtr: true, rts: true } },
    });
    await open();
  });

  test('says in words that the hardware cannot do a setting, and keeps trying', async () => {
    port = createSerialPort({ path: cable.path, clock, settings: { ...settings, parity: 'mark' } });
    port.open();
    await untilState(port, 'failed');
    expect(port.state).toMatchObject({ message: expect.stringMatching(/cannot be opened: .*parity/i) });
  });
});

describe('one owner for each port', () => {
  test('a second port object of this program is refused by name', async () => {
    await open();
    const second = cable.createPort(settings, clock);
    expect(second.open()).toMatchObject({ ok: false, error: { code: 'port_held' } });
  });

  test('a second one by another name for the same device is told, and changes nothing at the running port', async () => {
    await open();
    const alias = `${cable.path}-alias`;
    symlinkSync(cable.path, alias);
    const before = execFileSync('stty', ['-F', cable.path, '-a'], { encoding: 'utf8' });
    const second = createSerialPort({ path: alias, clock, settings: { ...settings, parity: 'odd' } });
    second.open();
    await untilState(second, 'busy');
    expect(second.state).toMatchObject({
      message: expect.stringContaining('in use by another instrument of this station'),
    });
    expect(execFileSync('stty', ['-F', cable.path, '-a'], { encoding: 'utf8' })).toBe(before);
    await port.close();
    await untilState(second, 'open');
    await second.close();
    rmSync(alias);
  });

  test('a port held by another program is said to be in use, left alone, and taken when that program lets go', async () => {
    const holder = await startHolder(cable.path);
    const before = execFileSync('stty', ['-F', cable.path, '-a'], { encoding: 'utf8' });
    port = createSerialPort({
      path: cable.path,
      clock,
      settings: { ...settings, parity: 'odd', stop_bits: 2 },
    });
    port.open();
    await untilState(port, 'busy');
    expect(port.state).toMatchObject({
      message: expect.stringMatching(
        new RegExp(`^${cable.path} is in use by another program \\(\\S+, process ${holder.pid}\\)\\.$`),
      ),
    });
    expect(execFileSync('stty', ['-F', cable.path, '-a'], { encoding: 'utf8' })).toBe(before);
    holder.stdin?.end();
    await once(holder, 'exit');
    port.tryNow();
    await untilState(port, 'open');
  });
});

async function startHolder(path: string): Promise<ChildProcess> {
  const program = new URL('./hold-port.ts', import.meta.url).pathname;
  const child = spawn(process.execPath, [program, path], { stdio: ['pipe', 'pipe', 'inherit'] });
  const [answer] = await once(child.stdout, 'data');
  expect(String(answer)).toBe('held\n');
  return child;
}
