import { z } from 'zod';

/** What is said of a name that is none. */
export const identifierRule = 'must be letters, digits, dots, dashes or underscores, 1 to 80';

/** A name that stays the same for ever: letters, digits, dot, dash, underscore; at most 80 characters. */
export const identifierSchema = z.string().regex(/^[A-Za-z0-9][A-Za-z0-9._-]{0,79}$/, identifierRule);

/** An instant: ISO 8601 with date, time and offset, for example `2026-11-25T09:04:11.250+01:00`. */
export const instantSchema = z.iso.datetime({ offset: true });

/** A calendar day: ISO 8601 `2026-11-25`. */
export const daySchema = z.iso.date();

/** The calendar day of an instant, as written there. */
export function dayOf(instant: string): string {
  return instant.slice(0, 10);
}

/** SHA-256 as lower-case hexadecimal. */
export const hashSchema = z.string().regex(/^[0-9a-f]{64}$/, 'must be 64 hexadecimal digits, lower case');

/** Text that a person gave as a reason or remark. */
export const spokenTextSchema = z.string().trim().min(1).max(2000);
