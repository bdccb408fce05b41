import { daySchema } from '../../shared/identifier.ts';
import type { Language } from '../wording/wording.ts';

/** A day as people type it, as ISO 8601: that spelling in every language, and `1.3.2026` in German. Null for no day. */
export function parseTypedDay(text: string, language: Language): string | null {
  const typed = text.trim();
  const [, day = '', month = '', year = ''] = /^(\d{1,2})\.(\d{1,2})\.(\d{4})$/.exec(typed) ?? [];
  const spelled =
    language === 'de' && year !== '' ? `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}` : typed;
  return daySchema.safeParse(spelled).success ? spelled : null;
}

/** A day as it is typed in a language. */
export function typedDay(day: string, language: Language): string {
  const [, year = '', month = '', date = ''] = /^(\d{4})-(\d{2})-(\d{2})$/.exec(day) ?? [];
  return language === 'de' && year !== '' ? `${date}.${month}.${year}` : day;
}

/** Is this an ISO 8601 day, or nothing? */
export function isDayOrEmpty(text: string | undefined): boolean {
  return text === undefined || text === '' || daySchema.safeParse(text).success;
}
