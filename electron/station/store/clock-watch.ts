import type { Clock } from '../../../drivers/port/clock.ts';
import type { NewEvent } from './store.ts';

/** Looks whether the wall clock jumped between two appends. Order is by sequence, so nothing is reordered; it is noted. */
export interface ClockWatch {
  now(): string;
  /** The event that notes a jump, or null. */
  jumpSince(lastAt: string | null, at: string): NewEvent | null;
}

/** Time servers nudge clocks by less than this. */
const noticed = 2000;

/** Compares with the clock that nobody can set, which shows jumps forward too; after a restart only jumps back show. */
export function createClockWatch(clock: Clock): ClockWatch {
  let previous: { readonly wall: number; readonly monotonic: number } | null = null;
  return {
    now: () => clock.wallTime(),
    jumpSince(lastAt, at) {
      const current = { wall: Date.parse(at), monotonic: clock.nowMilliseconds() };
      const before = previous;
      previous = current;
      const back = lastAt === null ? 0 : Math.min(0, current.wall - Date.parse(lastAt));
      const jump =
        before === null ? back : current.wall - before.wall - (current.monotonic - before.monotonic);
      if (lastAt === null || Math.abs(jump) < noticed) return null;
      return { kind: 'clockJumped', body: { from: lastAt, to: at, byMilliseconds: Math.round(jump) } };
    },
  };
}
