/** The two clocks of the station; handed in so that tests and replays decide what time it is. */
export interface Clock {
  /** Milliseconds of a clock that never jumps; only differences mean something. */
  nowMilliseconds(): number;
  /** Wall time in ISO 8601 with milliseconds and offset, for example `2031-04-17T10:02:11.123+02:00`. */
  wallTime(): string;
}

/** When a piece of bytes, or a line, came in. */
export interface Arrival {
  /** Monotonic milliseconds of the station's clock. */
  readonly arrivedAtMilliseconds: number;
  /** Wall time, ISO 8601 with offset. */
  readonly arrivedAt: string;
}

/** The clock of this computer. Only a composition root builds it. */
export function createSystemClock(): Clock {
  return {
    nowMilliseconds: () => performance.now(),
    wallTime: () => {
      const now = new Date();
      return formatWallTime(now.getTime(), -now.getTimezoneOffset());
    },
  };
}

/** Reads both clocks at once. */
export function readArrival(clock: Clock): Arrival {
  return { arrivedAtMilliseconds: clock.nowMilliseconds(), arrivedAt: clock.wallTime() };
}

/**
 * Writes a point of time in ISO 8601 with its offset from UTC.
 *
 * @param epochMilliseconds milliseconds since 1970-01-01T00:00Z
 * @param offsetMinutes minutes east of UTC
 */
export function formatWallTime(epochMilliseconds: number, offsetMinutes: number): string {
  const local = new Date(epochMilliseconds + offsetMinutes * 60_000).toISOString().slice(0, -1);
  const size = Math.abs(offsetMinutes);
  const hours = String(Math.floor(size / 60)).padStart(2, '0');
  const minutes = String(size % 60).padStart(2, '0');
  return `${local}${offsetMinutes < 0 ? '-' : '+'}${hours}:${minutes}`;
}
