import type { InstrumentProfile } from './profile.ts';

/** Common practice, no source: a display that stands still for two seconds is taken for dead. */
const usualSilenceMilliseconds = 2000;

/**
 * How long an instrument may go without an accepted line before it counts as silent, in milliseconds: as the profile
 * says; else two seconds, or three polls, for one that sends all the time or is asked all the time; null for one that
 * speaks only when a key is pressed or a pull is over.
 */
export function silenceLimit(
  profile: Pick<InstrumentProfile, 'silence_ms' | 'request' | 'mode'>,
): number | null {
  if (profile.silence_ms !== undefined) return profile.silence_ms;
  const poll = profile.request?.poll_ms ?? 0;
  if (poll > 0)
    return Math.max(usualSilenceMilliseconds, 3 * poll, 2 * (profile.request?.reply_timeout_ms ?? 0));
  return profile.mode?.startsWith('continuous') === true ? usualSilenceMilliseconds : null;
}
