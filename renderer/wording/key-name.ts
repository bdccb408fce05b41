import type { Language } from './wording.ts';

const names: Readonly<Record<Language, Readonly<Record<string, string>>>> = {
  en: { Escape: 'Esc', ArrowDown: '↓', ArrowUp: '↑', Enter: 'Enter ↵', PageDown: 'Page ↓' },
  de: {
    Escape: 'Esc',
    ArrowDown: '↓',
    ArrowUp: '↑',
    Enter: 'Enter ↵',
    PageDown: 'Bild ↓',
    Ctrl: 'Strg',
    Shift: 'Umschalt',
  },
};

const short: Readonly<Record<string, string>> = { Shift: '⇧' };

/** A key as keyboards of that language print it: `Strg F9`, `⇧ F8`. */
export function keyName(key: string, language: Language): string {
  return key
    .split('+')
    .map((part) => short[part] ?? names[language][part] ?? part)
    .join(' ');
}
