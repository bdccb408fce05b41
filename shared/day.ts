const millisecondsPerDay = 86_400_000;

function millisecondsOf(day: string): number {
  return Date.parse(`${day}T00:00:00Z`);
}

function dayAt(milliseconds: number): string {
  return new Date(milliseconds).toISOString().slice(0, 10);
}

/** The calendar day so many days later; negative for earlier. Days are ISO 8601, `2026-11-25`. */
export function addDays(day: string, days: number): string {
  return dayAt(millisecondsOf(day) + days * millisecondsPerDay);
}

/** The same day of the month so many months later; the last of that month where it is shorter. */
export function addMonths(day: string, months: number): string {
  const [year = 0, month = 1, date = 1] = day.split('-').map(Number);
  const lastOfMonth = new Date(Date.UTC(year, month - 1 + months + 1, 0)).getUTCDate();
  return dayAt(Date.UTC(year, month - 1 + months, Math.min(date, lastOfMonth)));
}
