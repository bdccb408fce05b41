import { afterEach, describe, expect, test } from 'vitest';
import { createDecoder } from '../../drivers/decode.ts';
import type { LivePull } from '../../drivers/live-event.ts';
import { createLiveInstrument, type LiveInstrument } from '../../drivers/live-instrument.ts';
import { createSystemClock } from '../../drivers/port/clock.ts';
import { createInProcessLine } from '../../drivers/port/in-process-port.ts';
import { profileNamed } from '../serial/profile-named.ts';
import { bytesOf, until } from '../serial/waiting.ts';

const opened: LiveInstrument[] = [];
afterEach(async () => {
  for (const live of opened.splice(0)) await live.stop();
});

/** A wrench whose lines the test writes, with a clock that the test sets. */
async function connect(profileName: string, changes: object = {}) {
  let now = 10_000;
  const system = createSystemClock();
  const clock = { ...system, nowMilliseconds: () => now };
  const line = createInProcessLine(`wrench ${opened.length} of ${expect.getState().currentTestName}`);
  const settings = { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 } as const;
  const profile = { ...profileNamed(profileName), ...changes };
  const live = createLiveInstrument({ port: line.createPort(settings, clock), profile, clock });
  const pulls: LivePull[] = [];
  live.onEvent((event) => event.kind === 'pull' && pulls.push(event));
  opened.push(live);
  live.start();
  await until('the port', () => live.port.state.kind === 'open');
  return {
    line,
    live,
    profile,
    pulls,
    ended: () => pulls.filter((pull) => pull.phase !== 'pulling'),
    /** Sends lines a tenth of a second apart. */
    send(...lines: string[]) {
      for (const text of lines) {
        now += 100;
        line.send(bytesOf(`${text}\r\n`));
      }
    },
    wait: (milliseconds: number) => {
      now += milliseconds;
    },
  };
}
const textOf = (pull: LivePull | undefined) =>
  pull !== undefined && 'evidence' in pull
    ? pull.evidence.map(({ bytes }) => Buffer.from(bytes).toString('latin1').trim())
    : [];

describe('the pulls of a live wrench', () => {
  test('a pull is told with its greatest value while it lasts, then with its peak line and all its raw lines', async () => {
    const { send, pulls, ended, profile } = await connect('wrench-live-then-final');
    send('BA:87', 'T:UNT0,TRQ27.0,NUM1', 'D:12.1,C,10', 'D:25.9,C,31', 'D:14.0,C,31', 'F:26.8,C,OK,33,OK');
    expect(pulls.map(({ phase }) => phase)).toEqual(['pulling', 'pulling', 'pulling', 'complete']);
    expect(
      pulls.map((pull) => (pull.phase === 'pulling' ? pull.greatest.indication.text : undefined)),
    ).toEqual(['12.1', '25.9', '25.9', undefined]);
    const [complete] = ended();
    if (complete?.phase !== 'complete') throw new Error('no complete pull');
    expect(complete).toMatchObject({ number: 1, pull: { incomplete: null, angle: 33 } });
    expect(complete.peak.indication).toMatchObject({ text: '26.8', state: 'peak' });
    expect(textOf(complete).slice(-5)).toEqual([
      'T:UNT0,TRQ27.0,NUM1',
      'D:12.1,C,10',
      'D:25.9,C,31',
      'D:14.0,C,31',
      'F:26.8,C,OK,33,OK',
    ]);
    const replay = createDecoder(profile, { synchronised: true });
    const last = complete.evidence.flatMap(({ bytes }) => replay.push(bytes)).at(-1);
    expect(last).toMatchObject({ kind: 'indication', indication: { text: '26.8', state: 'peak' } });
  });

  test('a pull without its final line is told as incomplete, never with a peak', async () => {
    const { send, ended } = await connect('wrench-live-then-final');
    send(
      'T:UNT0,TRQ27.0,NUM1',
      'D:12.1,C,10',
      'D:25.9,C,31',
      'D:2.0,C,31',
      'D:1.5,C,31',
      'D:1.2,C,31',
      'D:1.1,C,31',
    );
    send('D:20.0,C,5', 'D:26.0,C,20', 'F:26.5,C,OK,22,OK');
    expect(ended().map(({ phase, number }) => [phase, number])).toEqual([
      ['incomplete', 1],
      ['complete', 2],
    ]);
    expect(textOf(ended()[0])).not.toContain('D:20.0,C,5');
    expect(textOf(ended()[1]).at(-1)).toBe('F:26.5,C,OK,22,OK');
  });

  test('a pull during which the cable was lost has no peak', async () => {
    const { send, ended, line, live } = await connect('wrench-live-then-final');
    send('T:UNT0,TRQ27.0,NUM1', 'D:12.1,C,10', 'D:25.9,C,31');
    line.unplug();
    expect(ended()).toMatchObject([
      { phase: 'incomplete', pull: { peak: null, incomplete: 'stream interrupted' } },
    ]);
    line.replug();
    await until('the port', () => live.port.state.kind === 'open');
    // The unit was told before the loss; a final line alone is not believed.
    send('F:25.9,C,OK,31,OK');
    expect(live.health().rejections).toMatchObject({ unit_missing: 1 });
    expect(ended()).toHaveLength(1);
  });

  test('in pure track mode the peak is the greatest value of the stream', async () => {
    const { send, ended } = await connect('wrench-track-stream');
    const track = [0, 0, 9.3, 21.4, 26.9, 27.0, 14.2, 3.1, 0, 0, 0, 0].map(
      (value) => `+${value.toFixed(1).padStart(5, '0')} N.m`,
    );
    send(...track);
    const [complete] = ended();
    if (complete?.phase !== 'complete') throw new Error('no complete pull');
    expect(complete.peak.indication.text).toBe('27.0');
    expect(textOf(complete)).toContain('+027.0 N.m');
    expect(ended()).toHaveLength(1);
  });

  test('a pull whose stream stops is ended by the clock', async () => {
    const { send, ended, wait } = await connect('wrench-track-stream');
    send('+000.0 N.m', '+012.0 N.m', '+020.0 N.m');
    wait(5000);
    await until('the end', () => ended().length === 1);
    expect(ended()[0]).toMatchObject({ phase: 'incomplete', pull: { incomplete: 'stream interrupted' } });
  });

  test('a wrench that sends one line for each pull gives pulls of one line', async () => {
    const { send, ended } = await connect('wrench-comma-line');
    send(
      'HD,001,+026.8,nm,+034,deg,OO,123456A,31/04/17,10:02:11',
      'HD,002,+027.1,nm,+030,deg,OO,123456A,31/04/17,10:02:50',
      'HD,002,+027.1,nm,+030,deg,OO,123456A,31/04/17,10:02:50',
    );
    expect(
      ended().map((pull) => (pull.phase === 'complete' ? [pull.number, pull.peak.indication.text] : [])),
    ).toEqual([
      [1, '26.8'],
      [2, '27.1'],
    ]);
    expect(textOf(ended()[1]).at(-1)).toContain('HD,002');
  });
});
