import { describe, expect, test } from 'vitest';
import { type CompiledRequests, compileRequest } from '../../drivers/compiled-request.ts';
import { closedPoll, followPoll, type PollEvent, wishOf } from '../../drivers/request-poll.ts';

const bytesOf = (text: string) => Buffer.from(text, 'latin1');
const hex = (text: string) => Buffer.from(text, 'latin1').toString('hex');
const pace = { reply_timeout_ms: 1000, poll_ms: 250, gap_ms: 100 };
const plain: CompiledRequests = { reading: compileRequest({ hex: hex('S\r\n'), ...pace }) };
/** Two steps, as in line shape A14: ENQ, wait for ACK, then DC1, then the frame. */
const dialogue: CompiledRequests = {
  reading: compileRequest({
    steps: [{ send_hex: '05', expect_hex: '06' }, { send_hex: '11' }],
    ...pace,
    gap_ms: 0,
  }),
};

/** Plays events against the poll; every wish to send is carried out at once and noted with its time. */
function play(requests: CompiledRequests, events: readonly (readonly [number, PollEvent])[]) {
  let state = closedPoll;
  const sent: [number, string][] = [];
  const ended: [number, string, string][] = [];
  const decoded: number[] = [];
  const apply = (time: number, event: PollEvent) => {
    const step = followPoll(requests, state, event, time);
    state = step.state;
    decoded.push(...step.forDecoder);
    if (step.ended !== null) ended.push([time, step.ended.exchange, step.ended.how]);
    const wish = wishOf(requests, state, time);
    if (wish.kind === 'send') {
      sent.push([time, Buffer.from(wish.bytes).toString('latin1')]);
      apply(time, { kind: 'sent' });
    }
  };
  for (const [time, event] of events) apply(time, event);
  return { sent, ended, state, decoded: Buffer.from(decoded).toString('latin1') };
}
const bytes = (text: string) => ({ kind: 'bytes', bytes: bytesOf(text) }) as const;
const tick = { kind: 'time' } as const;
const line = { kind: 'line' } as const;

describe('asking an on-demand instrument', () => {
  test('has one request in flight and keeps the pace of the profile', () => {
    const ticks = Array.from({ length: 20 }, (_, index) => [index * 50, tick] as const);
    const { sent } = play(plain, [
      [0, { kind: 'opened' }],
      ...ticks.slice(0, 3),
      [110, line],
      ...ticks.slice(3, 8),
      [360, line],
    ]);
    expect(sent).toEqual([
      [0, 'S\r\n'],
      [250, 'S\r\n'],
    ]);
  });

  test('leaves the instrument a gap after a late answer', () => {
    const { sent } = play(plain, [
      [0, { kind: 'opened' }],
      [0, tick],
      [600, line],
      [650, tick],
      [700, tick],
    ]);
    expect(sent.map(([time]) => time)).toEqual([0, 700]);
  });

  test('goes on after an answer that never came, and says so', () => {
    const { sent, ended } = play(plain, [
      [0, { kind: 'opened' }],
      [0, tick],
      [999, tick],
      [1000, tick],
      [1100, tick],
    ]);
    expect(ended).toEqual([[1000, 'reading', 'timeout']]);
    expect(sent.map(([time]) => time)).toEqual([0, 1100]);
  });

  test('a line that was left over from before the request is no reply to it', () => {
    const { sent, ended } = play(dialogue, [
      [0, { kind: 'opened' }],
      [10, bytes('old\r')],
      [10, line],
      [20, bytes('\x06')],
      [30, bytes('frame')],
      [30, line],
    ]);
    expect(sent).toEqual([
      [0, '\x05'],
      [20, '\x11'],
    ]);
    expect(ended).toEqual([[30, 'reading', 'replied']]);
  });

  test('the answer to a step does not reach the decoder; everything else does', () => {
    const { decoded } = play(dialogue, [
      [0, { kind: 'opened' }],
      [10, bytes('left over\r\x06\x01\x02S')],
      [20, bytes(' 01.250kg')],
      [30, line],
    ]);
    expect(decoded).toBe('left over\r\x01\x02S 01.250kg');
  });

  test('a dialogue goes on only after the answer that its step expects', () => {
    const { sent, ended } = play(dialogue, [
      [0, { kind: 'opened' }],
      [10, bytes('\x15')],
      [1000, tick],
    ]);
    expect(sent).toEqual([[0, '\x05']]);
    expect(ended).toEqual([[1000, 'reading', 'timeout']]);
  });

  test('an expected answer may come in pieces, and half of one is given back to the decoder', () => {
    const requests = {
      reading: compileRequest({
        steps: [{ send_hex: hex('A'), expect_hex: hex('OK\r') }, { send_hex: hex('B') }],
        ...pace,
        gap_ms: 0,
      }),
    };
    const pieces = ['xO', 'OK', '\r', 'reply'].map((text, index) => [index, bytes(text)] as const);
    const { sent, decoded } = play(requests, [[0, { kind: 'opened' }], ...pieces]);
    expect(sent.map(([, text]) => text)).toEqual(['A', 'B']);
    expect(decoded).toBe('xOreply');
    expect(
      play(requests, [
        [0, { kind: 'opened' }],
        [1, bytes('OK')],
        [1000, tick],
      ]).decoded,
    ).toBe('OK');
  });

  test('an answer may be known by its form', () => {
    const requests = {
      reading: compileRequest({
        steps: [{ send_hex: hex('ID\r'), expect: 'ID \\d{4}\\r' }, { send_hex: hex('S\r') }],
        ...pace,
        gap_ms: 0,
      }),
    };
    const { sent, decoded } = play(requests, [
      [0, { kind: 'opened' }],
      [1, bytes('ID 00')],
      [2, bytes('17\rrest')],
    ]);
    expect(sent.map(([, text]) => text)).toEqual(['ID\r', 'S\r']);
    expect(decoded).toBe('rest');
  });

  test('leaves the gap between two steps of a dialogue too', () => {
    const requests = {
      reading: compileRequest({
        steps: [{ send_hex: '05', expect_hex: '06' }, { send_hex: '11' }],
        ...pace,
        gap_ms: 200,
      }),
    };
    const { sent } = play(requests, [
      [0, { kind: 'opened' }],
      [10, bytes('\x06')],
      [209, tick],
      [210, tick],
    ]);
    expect(sent.map(([time]) => time)).toEqual([0, 210]);
  });

  test('each step has its own time-out', () => {
    const requests = {
      reading: compileRequest({
        steps: [{ send_hex: '05', expect_hex: '06', timeout_ms: 300 }, { send_hex: '11' }],
        ...pace,
        gap_ms: 0,
      }),
    };
    expect(
      play(requests, [
        [0, { kind: 'opened' }],
        [300, tick],
      ]).ended,
    ).toEqual([[300, 'reading', 'timeout']]);
    const second = play(requests, [
      [0, { kind: 'opened' }],
      [299, bytes('\x06')],
      [1298, tick],
      [1299, tick],
    ]);
    expect(second.ended).toEqual([[1299, 'reading', 'timeout']]);
  });

  test('a lost port ends the exchange; nothing is sent until it is open again', () => {
    const { sent, state } = play(plain, [
      [0, { kind: 'opened' }],
      [10, { kind: 'lost' }],
      [500, tick],
      [500, { kind: 'wish', exchange: 'reading' }],
      [600, line],
    ]);
    expect(sent).toHaveLength(1);
    expect(state).toEqual(closedPoll);
  });

  test('an instrument that is asked only on wish is never asked by the clock', () => {
    const requests = { reading: compileRequest({ hex: hex('DR\r\n'), ...pace, poll_ms: 0 }) };
    const { sent } = play(requests, [
      [0, { kind: 'opened' }],
      [5000, tick],
      [6000, { kind: 'wish', exchange: 'reading' }],
      [6100, line],
      [9000, tick],
    ]);
    expect(sent.map(([time]) => time)).toEqual([6000]);
  });

  test('the tare key waits for the exchange in hand, and is pressed once', () => {
    const requests = { ...plain, tare: compileRequest({ hex: hex('T\r\n'), ...pace }) };
    const { sent, ended } = play(requests, [
      [0, { kind: 'opened' }],
      [10, { kind: 'wish', exchange: 'tare' }],
      [20, { kind: 'wish', exchange: 'tare' }],
      [50, line],
      [100, tick],
      [150, tick],
      [180, line],
      [250, tick],
      [280, tick],
    ]);
    expect(sent).toEqual([
      [0, 'S\r\n'],
      [150, 'T\r\n'],
      [280, 'S\r\n'],
    ]);
    expect(ended.map(([, exchange]) => exchange)).toEqual(['reading', 'tare']);
  });

  test('an instrument that has to be started is started once after each opening, before it is asked', () => {
    const requests = { ...plain, start: compileRequest({ hex: hex('CP\r\n'), ...pace }) };
    const round = (from: number) =>
      [
        [from, { kind: 'opened' }],
        [from + 20, line],
        [from + 120, tick],
        [from + 150, line],
        [from + 200, { kind: 'lost' }],
      ] as const;
    expect(play(requests, [...round(0), ...round(1000)]).sent.map(([, text]) => text)).toEqual([
      'CP\r\n',
      'S\r\n',
      'CP\r\n',
      'S\r\n',
    ]);
  });
});
