import type { OpenFailure } from './byte-port.ts';

/** Pauses between attempts to open, in milliseconds; the last one repeats. */
const pauses = [100, 250, 500, 1000, 2000, 5000] as const;

/**
 * A device that is not there costs one look at a path, so we look often: a cable that is plugged in again must be
 * live within a second. Every other failure opens the device for a moment, which can disturb another program's
 * settings, so it backs off to five seconds.
 */
const longestPauseForAbsence = 500;

/**
 * The pause before the next attempt, in milliseconds.
 *
 * @param failure what the last attempt ended with; `lost` right after a loss
 * @param attempt 0 for the first attempt after the kind of failure changed
 */
export function pauseBeforeRetry(failure: OpenFailure['kind'] | 'lost', attempt: number): number {
  const pause = pauses[Math.min(attempt, pauses.length - 1)] ?? 5000;
  return failure === 'missing' || failure === 'lost' ? Math.min(pause, longestPauseForAbsence) : pause;
}
