import { type Clock, formatWallTime } from '../../../drivers/port/clock.ts';

/** What was done to the wall clock. */
export interface Jump {
  readonly what: 'back' | 'forward' | 'nudge' | 'daylight saving';
  /** By how much the instant jumped; 0 where only the offset changed. */
  readonly byMilliseconds: number;
  /** Minutes east of UTC from now on. */
  readonly offsetMinutes: number;
}

export interface JumpyClock extends Clock {
  /** Makes the n-th jump: back, forward, a nudge of a time server, the hour of daylight saving, in turn. */
  jump(number: number): Jump;
}

const hour = 3_600_000;

/**
 * A clock that runs `speed` times as fast as the real one and is set by others, as clocks of computers are.
 *
 * @param begunAt wall time (ms) from which on it is faster: with the same one a restart does not set it back
 */
export function jumpyClock(speed: number, begunAt: number): JumpyClock {
  let ahead = 0;
  let offsetMinutes = 60;
  const startedAt = performance.now();
  const startedWall = begunAt + (Date.now() - begunAt) * speed;
  const elapsed = () => (performance.now() - startedAt) * speed;
  return {
    nowMilliseconds: elapsed,
    wallTime: () => formatWallTime(startedWall + elapsed() + ahead, offsetMinutes),
    jump(number) {
      const what = (['back', 'forward', 'nudge', 'daylight saving'] as const)[number % 4] ?? 'back';
      // Never at the same length twice, from some seconds to some hours.
      const length = 3000 + ((number * 7919) % 97) * (hour / 24);
      const byMilliseconds =
        what === 'back' ? -length : what === 'forward' ? length : what === 'nudge' ? 900 : 0;
      ahead += byMilliseconds;
      if (what === 'daylight saving') offsetMinutes = offsetMinutes === 60 ? 120 : 60;
      return { what, byMilliseconds, offsetMinutes };
    },
  };
}
