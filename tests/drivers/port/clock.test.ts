import { expect, test } from 'vitest';
import { createSystemClock, formatWallTime } from '../../../drivers/port/clock.ts';

// 2031-04-17T08:02:11.123Z; form of ISO 8601 with offset.
const instant = Date.UTC(2031, 3, 17, 8, 2, 11, 123);

test.each([
  [120, '2031-04-17T10:02:11.123+02:00'],
  [0, '2031-04-17T08:02:11.123+00:00'],
  [-210, '2031-04-17T04:32:11.123-03:30'],
  [345, '2031-04-17T13:47:11.123+05:45'],
])('wall time %i minutes east of UTC is %s', (offset, text) => {
  expect(formatWallTime(instant, offset)).toBe(text);
  expect(Date.parse(text)).toBe(instant);
});

test('the clock of this computer agrees with itself and runs forward', () => {
  const clock = createSystemClock();
  const before = Date.now();
  const wall = Date.parse(clock.wallTime());
  expect(wall).toBeGreaterThanOrEqual(before);
  expect(wall).toBeLessThanOrEqual(Date.now());
  const first = clock.nowMilliseconds();
  expect(clock.nowMilliseconds()).toBeGreaterThanOrEqual(first);
});
