/**
 * Figures of the serial path over real pseudo-terminals. Not part of the tests: run it by itself.
 *
 *   node tests/speed/serial.ts [--seconds 60] [--rounds 50]
 *
 * Ends with 1 when a promise of the drivers does not hold.
 */
import { type ChildProcess, fork } from 'node:child_process';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { parseArgs } from 'node:util';
import { createLiveInstrument, type LiveInstrument } from '../../drivers/live-instrument.ts';
import { createSystemClock } from '../../drivers/port/clock.ts';
import { createSerialPort } from '../../drivers/port/serial-port.ts';
import { createPseudoTerminal } from '../../drivers/simulated/pseudo-terminal.ts';
import { profileNamed } from '../serial/profile-named.ts';
import { bytesOf, pause, until } from '../serial/waiting.ts';
import { type Answer, numberedLine, type Order } from './instrument-program.ts';

const { values } = parseArgs({
  options: { seconds: { type: 'string', default: '60' }, rounds: { type: 'string', default: '50' } },
});
const clock = createSystemClock();
const profile = profileNamed('scale-comma-header');
const wide = { ...profile, range: { g: [-1e6, 1e6] as [number, number] } };
const settings = { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 } as const;
let broken = 0;

function report(text: string, holds: boolean): void {
  if (!holds) broken += 1;
  process.stdout.write(`${holds ? 'holds' : 'BROKEN'}  ${text}\n`);
}

function startProgram(): ChildProcess {
  return fork(new URL('./instrument-program.ts', import.meta.url));
}
function order(program: ChildProcess, order: Order): Promise<Answer> {
  return new Promise((resolve) => {
    program.once('message', (answer: Answer) => resolve(answer));
    program.send(order);
  });
}

/** Loop lag and memory while something goes on. */
async function watchLoad<Value>(work: () => Promise<Value>) {
  const lag = monitorEventLoopDelay({ resolution: 1 });
  const cpuBefore = process.cpuUsage();
  const rssBefore = process.memoryUsage.rss();
  let rssHighest = rssBefore;
  const timer = setInterval(() => {
    rssHighest = Math.max(rssHighest, process.memoryUsage.rss());
  }, 50);
  const startedAt = performance.now();
  lag.enable();
  const value = await work();
  lag.disable();
  clearInterval(timer);
  const cpu = process.cpuUsage(cpuBefore);
  const seconds = (performance.now() - startedAt) / 1000;
  const text = [
    `${seconds.toFixed(1)} s`,
    `CPU ${(((cpu.user + cpu.system) / 1e6 / seconds) * 100).toFixed(0)} %`,
    `loop lag p99 ${(lag.percentile(99) / 1e6).toFixed(1)} ms, max ${(lag.max / 1e6).toFixed(1)} ms`,
    `RSS ${(rssBefore / 1e6).toFixed(0)} → highest ${(rssHighest / 1e6).toFixed(0)} MB`,
  ].join(', ');
  return { value, text, lagMaximum: lag.max / 1e6, grown: (rssHighest - rssBefore) / 1e6 };
}

async function open(path: string, accepted: string[]): Promise<LiveInstrument> {
  const live = createLiveInstrument({
    port: createSerialPort({ path, settings, clock }),
    profile: wide,
    clock,
  });
  live.onEvent((event) => event.kind === 'indication' && accepted.push(event.indication.text));
  live.start();
  await until(path, () => live.port.state.kind === 'open');
  return live;
}

async function eightInstruments(seconds: number): Promise<void> {
  const program = startProgram();
  const plugged = await order(program, { do: 'plug', count: 8 });
  const paths = plugged.did === 'plug' ? plugged.paths : [];
  const accepted = paths.map((): string[] => []);
  const lives = await Promise.all(paths.map((path, index) => open(path, accepted[index] ?? [])));
  const load = await watchLoad(() => order(program, { do: 'stream', linesPerSecond: 100, seconds }));
  await pause(200);
  const sent = load.value.did === 'stream' ? load.value.sent : [];
  // The first line of a continuous source is dropped on purpose.
  const whole = accepted.every((texts, index) => {
    const expected = Array.from({ length: (sent[index] ?? 0) - 1 }, (_, n) => (n + 2).toFixed(2));
    return texts.length === expected.length && texts.every((text, n) => text === expected[n]);
  });
  const total = sent.reduce((sum, count) => sum + count, 0);
  const got = accepted.reduce((sum, texts) => sum + texts.length, 0);
  report(`8 instruments at 100 Hz: ${total} lines sent, ${got} accepted + 8 first ones; ${load.text}`, whole);
  await Promise.all(lives.map((live) => live.stop()));
  program.disconnect();
}

async function plugging(rounds: number): Promise<void> {
  const cable = createPseudoTerminal('scale');
  const accepted: string[] = [];
  const live = await open(cable.path, accepted);
  const recovered: number[] = [];
  const expected: string[] = [];
  let number = 0;
  const sendWhole = () => {
    number += 1;
    cable.send(bytesOf(numberedLine(number)));
    return number.toFixed(2);
  };
  for (let round = 0; round < rounds; round += 1) {
    if (round === 0) cable.send(bytesOf('\r\n'));
    const text = sendWhole();
    expected.push(text);
    await until(`line ${text}`, () => accepted.at(-1) === text);
    // Half a line, then the cable; the other half comes first when it is back.
    number += 1;
    const half = numberedLine(number);
    const cut = 1 + ((round * 7) % (half.length - 2));
    cable.send(bytesOf(half.slice(0, cut)));
    await pause((round * 13) % 40);
    cable.unplug();
    await until('the loss', () => live.port.state.kind !== 'open');
    await pause((round * 37) % 700);
    cable.replug();
    const from = performance.now();
    await until('the port', () => live.port.state.kind === 'open');
    recovered.push(performance.now() - from);
    cable.send(bytesOf(half.slice(cut)));
  }
  const worst = Math.max(...recovered);
  const middle = [...recovered].sort((a, b) => a - b)[Math.floor(recovered.length / 2)] ?? 0;
  report(
    `${rounds} times unplugged: open again after ${middle.toFixed(0)} ms (middle), ${worst.toFixed(0)} ms (worst)`,
    worst < 1000,
  );
  const same = accepted.length === expected.length && accepted.every((text, n) => text === expected[n]);
  report(
    `no value glued, repeated or invented: ${accepted.length} accepted, each one that was sent whole`,
    same,
  );
  await live.stop();
  cable.dispose();
}

async function pouring(name: string, pourOrder: Extract<Order, { do: 'pour' }>): Promise<void> {
  const program = startProgram();
  const plugged = await order(program, { do: 'plug', count: 1 });
  const accepted: string[] = [];
  const live = await open(plugged.did === 'plug' ? (plugged.paths[0] ?? '') : '', accepted);
  const load = await watchLoad(() => order(program, pourOrder));
  const poured = load.value.did === 'pour' ? load.value : { sent: 0, seconds: 1 };
  await pause(200);
  const { rejections } = live.health();
  const rate = (poured.sent / poured.seconds / 1e6).toFixed(2);
  const counts = JSON.stringify(rejections);
  report(
    `${name}: ${(poured.sent / 1e6).toFixed(1)} MB at ${rate} MB/s, refused ${counts}; ${load.text}`,
    load.grown < 80 && load.lagMaximum < 100,
  );
  await order(program, { do: 'pour', text: '\r\nST,GS,+    7.00 g\r\n', bytes: 21, bytesPerSecond: 1e6 });
  await until('the good line after it', () => accepted.at(-1) === '7.00');
  report(`${name}: the good line after it was read`, accepted.length === 1);
  await live.stop();
  program.disconnect();
}

await eightInstruments(Number(values.seconds));
await plugging(Number(values.rounds));
await pouring('flood', {
  do: 'pour',
  text: 'XX,flood without meaning\r\n',
  bytes: 10e6,
  bytesPerSecond: 1e6,
});
await pouring('flood as fast as it goes', {
  do: 'pour',
  text: 'XX,flood without meaning\r\n',
  bytes: 50e6,
  bytesPerSecond: 1e9,
});
await pouring('endless line', { do: 'pour', text: '0', bytes: 16e6, bytesPerSecond: 1e6 });
process.exit(broken === 0 ? 0 : 1);
