import { describe, expect, test } from 'vitest';
import { createSystemClock } from '../../../drivers/port/clock.ts';
import { createInProcessLine } from '../../../drivers/port/in-process-port.ts';
import { parseRecording, recordPort } from '../../../drivers/port/recording.ts';
import { createReplayPort } from '../../../drivers/port/replay-port.ts';
import { bytesOf, pause, until, untilState } from '../../serial/waiting.ts';

const clock = createSystemClock();
const settings = { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 } as const;

describe('recording and replaying a port', () => {
  test('a recording played again gives the same bytes, losses included, in the same order', async () => {
    const line = createInProcessLine('recorded instrument');
    const port = line.createPort(settings, clock);
    const text: string[] = [];
    const stop = recordPort(
      port,
      { profile: 'scale-comma-header', serial: { ...settings } },
      clock,
      (entry) => text.push(entry),
    );
    port.open();
    await untilState(port, 'open');
    line.send(bytesOf('ST,GS,+   24.86 g\r\nST,G'));
    await pause(30);
    line.unplug();
    line.replug();
    await untilState(port, 'open');
    line.send(Uint8Array.of(0, 0xff, 0x0d, 0x0a));
    stop();
    line.send(bytesOf('not recorded\r\n'));
    await port.close();

    const recording = parseRecording(text.join('\n'));
    if (!recording.ok) throw new Error(recording.error.message);
    expect(recording.value.header).toMatchObject({ profile: 'scale-comma-header', version: 1 });

    const replay = createReplayPort({
      recording: recording.value,
      name: 'monday.jsonl',
      clock,
      speed: Number.POSITIVE_INFINITY,
    });
    const heard: string[] = [];
    replay.onBytes((chunk) => heard.push(Buffer.from(chunk).toString('latin1')));
    replay.onState((state) => heard.push(state.kind));
    replay.open();
    await until('the end of the recording', () => replay.state.kind === 'closed');
    expect(heard).toEqual([
      'opening',
      'open',
      'ST,GS,+   24.86 g\r\nST,G',
      'lost',
      'open',
      '\x00\xff\r\n',
      'closed',
    ]);
  });

  test('plays at the pace of the recording', async () => {
    const recording = parseRecording(
      [
        '{"format":"bandwright recording","version":1,"profile":null,"serial":null,"startedAt":"2031-04-17T10:02:11.000+02:00"}',
        `{"atMilliseconds":0,"bytes":"${btoa('a')}"}`,
        `{"atMilliseconds":1200,"bytes":"${btoa('b')}"}`,
      ].join('\n'),
    );
    if (!recording.ok) throw new Error(recording.error.message);
    const replay = createReplayPort({ recording: recording.value, name: 'pace', clock, speed: 10 });
    const times: number[] = [];
    replay.onBytes((_, arrival) => times.push(arrival.arrivedAtMilliseconds));
    replay.open();
    await until('both pieces', () => times.length === 2);
    const [first = 0, second = 0] = times;
    expect(second - first).toBeGreaterThan(110);
    await replay.close();
  });

  test.each([
    ['no header', '{"atMilliseconds":0,"bytes":""}', 'line 1'],
    ['no JSON', 'ST,GS', 'line 1'],
    [
      'a time that runs backwards',
      '{"format":"bandwright recording","version":1,"profile":null,"serial":null,"startedAt":"x"}\n{"atMilliseconds":5,"bytes":""}\n{"atMilliseconds":4,"bytes":""}',
      'line 3.atMilliseconds',
    ],
    [
      'bytes that are not base64',
      '{"format":"bandwright recording","version":1,"profile":null,"serial":null,"startedAt":"x"}\n{"atMilliseconds":5,"bytes":"%"}',
      'line 2',
    ],
  ])('refuses %s and names the line', (_, text, field) => {
    const result = parseRecording(text);
    expect(result.ok).toBe(false);
    if (!result.ok) expect(result.error.field.startsWith(field)).toBe(true);
  });
});
