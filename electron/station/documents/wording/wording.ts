import type { Unit } from '../../../../shared/quantity/unit.ts';
import type { LocalizedText } from '../../../../shared/sheet/localized-text.ts';
import { english } from './english.ts';
import { german } from './german.ts';
import { fixedText, percentParts, unitName, unitSpace } from './number-text.ts';

export const documentLanguages = ['en', 'de'] as const;
/** Language of a document: one that every sheet text is in. */
export type DocumentLanguage = (typeof documentLanguages)[number] & keyof LocalizedText;

type Texts<Value> = Value extends string
  ? string
  : Value extends (...parameters: infer Parameters) => string
    ? (...parameters: Parameters) => string
    : { readonly [Key in keyof Value]: Texts<Value[Key]> };
/** The shape of a catalogue. */
export type DocumentTexts = Texts<typeof english>;

/** All that a document says, in one language, with the numbers and days of that language. */
export interface Wording {
  readonly language: DocumentLanguage;
  readonly say: DocumentTexts;
  /** The side of a text of a sheet that is in this language. */
  of(text: LocalizedText): string;
  /** Canonical decimal text (`-0.5`) as printed (`−0,5`); its digits stay as they are. */
  decimal(text: string): string;
  /** A number with so many decimals and its unit. */
  quantity(value: number, decimals: number, unit: Unit): string;
  /** Decimal text with its unit, digits as they are. */
  shown(text: string, unit: string): string;
  /** A probability; never rounded up. */
  percent(share: number): string;
  /** A day `2026-11-25`: in English as it is (ISO 8601), in German `25.11.2026`. */
  day(day: string): string;
  /** An instant in its own offset, to the second; no zone of this computer comes in. */
  moment(instant: string): string;
}

const catalogues: Readonly<Record<DocumentLanguage, DocumentTexts>> = { en: english, de: german };

/** The wording of a language. */
export function createWording(language: DocumentLanguage): Wording {
  const say = catalogues[language];
  const sign = decimalSignOf(say.locale);
  const decimal = (text: string) => text.replace('-', '−').replace('.', sign);
  const shown = (text: string, unit: string) => `${decimal(text)}${unitSpace}${unit}`;
  const day = (text: string) => (language === 'de' ? text.split('-').reverse().join('.') : text);
  return {
    language,
    say,
    of: (text) => text[language],
    decimal,
    quantity: (value, decimals, unit) => shown(fixedText(value, decimals), unitName(unit)),
    shown,
    percent(share) {
      const { sign: comparison, text } = percentParts(share);
      return `${comparison}${decimal(text)}${unitSpace}%`;
    },
    day,
    moment(instant) {
      const [, date = instant, time = '', zone = ''] =
        /^(.{10})T(\d\d:\d\d(?::\d\d)?)(?:[.,]\d+)?(.*)$/.exec(instant) ?? [];
      return `${day(date)} ${time}${unitSpace}${zone === 'Z' ? 'UTC' : zone}`.trim();
    },
  };
}

function decimalSignOf(locale: string): string {
  const parts = new Intl.NumberFormat(locale, { minimumFractionDigits: 1 }).formatToParts(0.5);
  return parts.find(({ type }) => type === 'decimal')?.value ?? '.';
}
