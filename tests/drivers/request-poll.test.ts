import { describe, expect, test } from 'vitest';
import {
  followPoll,
  type PollEvent,
  type PollOutcome,
  type PollState,
  type RequestWords,
  wishOf,
} from '../../drivers/request-poll.ts';

const bytesOf = (text: string) => Buffer.from(text, 'latin1');
const plain: RequestWords = {
  steps: [{ send: bytesOf('S\r\n') }],
  replyTimeoutMilliseconds: 1000,
  pollMilliseconds: 250,
  gapMilliseconds: 100,
};
/** Two steps, as in line shape A14: ENQ, wait for ACK, then DC1, then the frame. */
const dialogue: RequestWords = {
  ...plain,
  steps: [{ send: bytesOf('\x05'), expect: bytesOf('\x06') }, { send: bytesOf('\x11') }],
};

/** Plays events against the poll; every wish to send is carried out at once and noted with its time. */
function play(words: RequestWords, events: readonly (readonly [number, PollEvent])[]) {
  let state: PollState = { kind: 'closed' };
  const sent: [number, string][] = [];
  const outcomes: [number, PollOutcome][] = [];
  const apply = (time: number, event: PollEvent) => {
    const followed = followPoll(words, state, event, time);
    state = followed.state;
    if (followed.outcome !== null) outcomes.push([time, followed.outcome]);
    const wish = wishOf(words, state);
    if (wish.kind === 'send') {
      sent.push([time, Buffer.from(wish.bytes).toString('latin1')]);
      apply(time, { kind: 'sent' });
    }
  };
  for (const [time, event] of events) apply(time, event);
  return { sent, outcomes, state };
}
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
    const { sent, outcomes } = play(plain, [
      [0, { kind: 'opened' }],
      [0, tick],
      [999, tick],
      [1000, tick],
      [1100, tick],
    ]);
    expect(outcomes).toEqual([[1000, 'timeout']]);
    expect(sent.map(([time]) => time)).toEqual([0, 1100]);
  });

  test('a line that was left over from before the request is no reply to it', () => {
    const { sent, outcomes } = play(dialogue, [
      [0, { kind: 'opened' }],
      [0, tick],
      [10, line],
      [20, { kind: 'bytes', bytes: bytesOf('\x06') }],
      [30, line],
    ]);
    expect(sent).toEqual([
      [0, '\x05'],
      [20, '\x11'],
    ]);
    expect(outcomes).toEqual([[30, 'replied']]);
  });

  test('a dialogue goes on only after the answer that its step expects', () => {
    const { sent, outcomes } = play(dialogue, [
      [0, { kind: 'opened' }],
      [0, tick],
      [10, { kind: 'bytes', bytes: bytesOf('\x15') }],
      [1000, tick],
    ]);
    expect(sent).toEqual([[0, '\x05']]);
    expect(outcomes).toEqual([[1000, 'timeout']]);
  });

  test('an expected answer may come in pieces', () => {
    const words = {
      ...plain,
      steps: [{ send: bytesOf('A'), expect: bytesOf('OK\r') }, { send: bytesOf('B') }],
    };
    const pieces = ['xO', 'OK', '\r'].map(
      (text, index) => [index, { kind: 'bytes', bytes: bytesOf(text) }] as const,
    );
    const { sent } = play(words, [[0, { kind: 'opened' }], [0, tick], ...pieces]);
    expect(sent.map(([, text]) => text)).toEqual(['A', 'B']);
  });

  test('a lost port ends the exchange; nothing is sent until it is open again', () => {
    const { sent, state } = play(plain, [
      [0, { kind: 'opened' }],
      [0, tick],
      [10, { kind: 'lost' }],
      [500, tick],
      [500, { kind: 'wish' }],
      [600, line],
    ]);
    expect(sent).toHaveLength(1);
    expect(state).toEqual({ kind: 'closed' });
    expect(followPoll(plain, state, { kind: 'opened' }, 700).state).toEqual({
      kind: 'idle',
      dueAtMilliseconds: 700,
    });
  });

  test('an instrument that is asked only on wish is never asked by the clock', () => {
    const words = { ...plain, pollMilliseconds: 0 };
    const { sent } = play(words, [
      [0, { kind: 'opened' }],
      [5000, tick],
      [6000, { kind: 'wish' }],
      [6100, line],
      [9000, tick],
    ]);
    expect(sent.map(([time]) => time)).toEqual([6000]);
  });
});
