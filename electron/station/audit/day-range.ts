import { daySchema } from '../../../shared/identifier.ts';

/** A day or instant as a filter names it, as the instant at which it begins. Days are those of the workshop's clock. */
export function beginOf(time: string | undefined): string | undefined {
  if (time === undefined || !isDay(time)) return time;
  return new Date(`${time}T00:00:00`).toISOString();
}

/** The instant before which everything of the named day lies; an instant is itself the end. */
export function endOf(time: string | undefined): string | undefined {
  if (time === undefined || !isDay(time)) return time;
  const end = new Date(`${time}T00:00:00`);
  end.setDate(end.getDate() + 1);
  return end.toISOString();
}

function isDay(time: string): boolean {
  return daySchema.safeParse(time).success;
}
