/** Wall time, ISO 8601 with milliseconds and the offset from UTC. */
export type Clock = () => string;

/** The computer's wall clock: `2026-03-29T03:00:00.000+02:00`. */
export const wallClock: Clock = () => timestampOf(new Date());

/** A date in the local zone as ISO 8601 with offset. */
export function timestampOf(date: Date): string {
  const minutes = -date.getTimezoneOffset();
  const local = new Date(date.getTime() + minutes * 60_000).toISOString().slice(0, -1);
  const hours = String(Math.floor(Math.abs(minutes) / 60)).padStart(2, '0');
  return `${local}${minutes < 0 ? '-' : '+'}${hours}:${String(Math.abs(minutes) % 60).padStart(2, '0')}`;
}
