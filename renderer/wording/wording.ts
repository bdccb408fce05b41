import type { DecimalSign } from '../../shared/quantity/typed-number.ts';
import type { Unit } from '../../shared/quantity/unit.ts';
import type { LocalizedText } from '../../shared/sheet/localized-text.ts';
import { type Catalogue, english, type MessageKey } from './english.ts';
import { german } from './german.ts';
import { unitName } from './unit-name.ts';

export const languages = ['en', 'de'] as const;
export type Language = (typeof languages)[number];
export type Parameters = Readonly<Record<string, string | number>>;

const catalogues: Readonly<Record<Language, Catalogue>> = { en: english, de: german };

/** Thin space that does not break: between a number and its unit (ISO 80000-1, 7.1.4). */
const thinSpace = '\u202f';

/** All that is said on the screens, in one language and with one decimal sign. */
export interface Wording {
  readonly language: Language;
  readonly decimalSign: DecimalSign;
  /** The text of that key, `{name}` replaced by the parameter of that name. */
  say(key: MessageKey, parameters?: Parameters): string;
  /** The side of a text of a sheet that is in this language. */
  of(text: LocalizedText): string;
  /** Canonical decimal text (`-0.5`) as printed here (`−0,5`). */
  decimal(text: string): string;
  /** A number with exactly so many decimals. */
  fixed(value: number, decimals: number): string;
  /** Decimal text with its unit. */
  quantity(text: string, unit: Unit): string;
  /** A share as percentage; never 100 % or 0 %, which no measurement can claim. */
  percent(share: number): string;
  moment(instant: string): string;
  timeOfDay(instant: string): string;
  day(day: string): string;
  /** Seconds in words short enough for a label: `4 s`, `3 min`, `2 h`. */
  duration(seconds: number): string;
}

/** Builds the wording of a language. `decimalSign` null takes the language's own. */
export function createWording(language: Language, decimalSign: DecimalSign | null = null): Wording {
  const catalogue = catalogues[language];
  const sign = decimalSign ?? (language === 'de' ? ',' : '.');
  const locale = language === 'de' ? 'de-DE' : 'en-GB';
  const moments = instantFormat(locale, { dateStyle: 'medium', timeStyle: 'medium' });
  const times = instantFormat(locale, { timeStyle: 'medium' });
  const days = instantFormat(locale, { dateStyle: 'medium', timeZone: 'UTC' });
  const decimal = (text: string) => text.replace('-', '−').replace('.', sign);
  const fixed = (value: number, decimals: number) => decimal(fixedText(value, decimals));
  return {
    language,
    decimalSign: sign,
    say: (key, parameters) => fillIn(catalogue[key], parameters),
    of: (text) => text[language],
    decimal,
    fixed,
    quantity: (text, unit) => `${decimal(text)}${thinSpace}${unitName(unit)}`,
    percent: (share) => `${percentText(share, fixed)}${thinSpace}%`,
    moment: moments,
    timeOfDay: times,
    day: days,
    duration: (seconds) => {
      const whole = Math.max(0, Math.round(seconds));
      if (whole < 120) return `${whole}${thinSpace}s`;
      if (whole < 7200) return `${Math.round(whole / 60)}${thinSpace}min`;
      return `${Math.round(whole / 3600)}${thinSpace}h`;
    },
  };
}

/** Plain decimal text with so many significant digits, in full: 0.0227 with 2 is `0.023`. */
export function roughText(value: number, digits: number): string {
  return fixedText(
    value,
    Math.min(9, Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value) || 1)))),
  );
}

/** Plain decimal text with exactly so many decimals, without a negative zero. */
export function fixedText(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text;
}

function fillIn(text: string, parameters: Parameters = {}): string {
  return text.replace(/\{(\w+)\}/g, (whole, name: string) => String(parameters[name] ?? whole));
}

/** Made when it is first needed: a format of the language takes the browser some milliseconds. */
function instantFormat(locale: string, options: Intl.DateTimeFormatOptions): (instant: string) => string {
  let format: Intl.DateTimeFormat | undefined;
  return (instant) => {
    const date = new Date(instant);
    if (Number.isNaN(date.getTime())) return instant;
    format ??= new Intl.DateTimeFormat(locale, options);
    return format.format(date);
  };
}

function percentText(share: number, fixed: (value: number, decimals: number) => string): string {
  const percent = share * 100;
  if (percent > 99.99) return `> ${fixed(99.99, 2)}`;
  if (percent < 0.01) return `< ${fixed(0.01, 2)}`;
  return fixed(percent, percent >= 99 || percent < 1 ? 2 : 1);
}
