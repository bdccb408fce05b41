import { describe, expect, test } from 'vitest';
import { createRateMeter, judgeCondition } from '../../drivers/instrument-health.ts';
import { silenceLimit } from '../../drivers/silence.ts';

describe('the condition of an instrument', () => {
  const facts = {
    portIsOpen: true,
    openedAtMilliseconds: 1000,
    lastAcceptedAtMilliseconds: null,
    silenceMilliseconds: 2000,
  };

  test('is disconnected while the port is not open, whatever was read before', () => {
    expect(judgeCondition({ ...facts, portIsOpen: false, lastAcceptedAtMilliseconds: 1500 }, 1600)).toBe(
      'disconnected',
    );
  });

  test('is waiting after opening, live with the first value, silent when none comes any more', () => {
    expect(judgeCondition(facts, 3000)).toBe('waiting');
    expect(judgeCondition(facts, 3001)).toBe('silent');
    const spoken = { ...facts, lastAcceptedAtMilliseconds: 4000 };
    expect(judgeCondition(spoken, 6000)).toBe('live');
    expect(judgeCondition(spoken, 6001)).toBe('silent');
  });

  test('is never silent for an instrument that speaks only when a key is pressed', () => {
    const seldom = { ...facts, silenceMilliseconds: null };
    expect(judgeCondition(seldom, 1e9)).toBe('waiting');
    expect(judgeCondition({ ...seldom, lastAcceptedAtMilliseconds: 4000 }, 1e9)).toBe('live');
  });
});

describe('lines a second', () => {
  test.each([1, 10, 100])('are counted over the last two seconds: %i', (perSecond) => {
    const meter = createRateMeter();
    const start = 123_456;
    for (let n = 0; n < 5 * perSecond; n += 1) meter.count(start + (n * 1000) / perSecond);
    expect(Math.abs(meter.perSecond(start + 5000) - perSecond)).toBeLessThanOrEqual(0.1 * perSecond + 0.5);
  });

  test('fall to nothing when nothing comes, also after a long time', () => {
    const meter = createRateMeter();
    for (let n = 0; n < 100; n += 1) meter.count(1000 + n);
    expect(meter.perSecond(1500)).toBe(50);
    expect(meter.perSecond(3600)).toBe(0);
    expect(meter.perSecond(1e9)).toBe(0);
  });
});

describe('how long an instrument may be silent', () => {
  const request = { hex: '530d0a', reply_timeout_ms: 1000, poll_ms: 250, gap_ms: 0 };
  test.each([
    ['as its profile says', { silence_ms: 700, mode: 'continuous' }, 700],
    ['two seconds when it sends all the time', { mode: 'continuous' }, 2000],
    ['two seconds or two answers when it is asked all the time', { request }, 2000],
    ['three polls when it is asked seldom', { request: { ...request, poll_ms: 5000 } }, 15_000],
    ['for ever when it is asked on wish', { request: { ...request, poll_ms: 0 } }, null],
    ['for ever when it sends a line for each pull', { mode: 'one line per pull' }, null],
  ])('%s', (_, profile, limit) => {
    expect(silenceLimit(profile)).toBe(limit);
  });
});
