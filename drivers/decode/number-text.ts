const digit0 = 0x30;
const digit9 = 0x39;
const plus = 0x2b;
const minus = 0x2d;
const point = 0x2e;
const comma = 0x2c;

/**
 * Canonical decimal text, which keeps the printed resolution: `+0012.40` gives `12.40`, `-.5` gives `-0.5`, and
 * minus zero gives zero. The number shape is digits with at most one decimal sign, which may lead but not end it;
 * null for anything else. Only `decimalSign` counts as decimal sign; without it both do, and the profile's pattern
 * decides.
 */
export function canonicalNumber(
  printed: string,
  negative: boolean,
  decimalSign: '.' | ',' | undefined,
): string | null {
  const text = printed.trim();
  const sign = text.charCodeAt(0);
  const begin = sign === plus || sign === minus ? 1 : 0;
  let at = -1;
  for (let index = begin; index < text.length; index += 1) {
    const code = text.charCodeAt(index);
    if (code >= digit0 && code <= digit9) continue;
    if ((code !== point && code !== comma) || at !== -1) return null;
    at = index;
  }
  if (text.length === begin || at === text.length - 1) return null;
  if (at !== -1 && decimalSign !== undefined && text[at] !== decimalSign) return null;
  const magnitude = magnitudeText(text, begin, at, text.length);
  return (negative || sign === minus) && Number(magnitude) !== 0 ? `-${magnitude}` : magnitude;
}

/**
 * Digits from `begin` to `end` with at most one decimal sign, at `point` (−1 without one), as canonical text: without
 * leading zeros, with a digit before the point.
 */
export function magnitudeText(text: string, begin: number, point: number, end: number): string {
  const last = (point === -1 ? end : point) - 1;
  let from = begin;
  while (from < last && text.charCodeAt(from) === digit0) from += 1;
  const kept = text.slice(from, end);
  const pointed = point !== -1 && text.charCodeAt(point) === comma ? kept.replace(',', '.') : kept;
  return point === begin ? `0${pointed}` : pointed;
}

/** Number of digits up to which an integer is exact. */
export const exactDigits = 15;
const powersOfTen = Array.from({ length: exactDigits + 1 }, (_, power) => 10 ** power);

/**
 * The double nearest to at most `exactDigits` digits with at most one decimal sign, which stands at `point`: an exact
 * integer over an exact power of ten, whose quotient is correctly rounded (IEEE 754).
 */
export function magnitudeValue(text: string, begin: number, point: number, end: number): number {
  let digits = 0;
  for (let index = begin; index < end; index += 1) {
    if (index !== point) digits = digits * 10 + (text.charCodeAt(index) - digit0);
  }
  return point === -1 ? digits : digits / (powersOfTen[end - point - 1] ?? Number.NaN);
}

/** The double nearest to a canonical decimal text: that of `Number(text)`, at a third of its cost where it is short. */
export function valueOfNumber(text: string): number {
  const begin = text.charCodeAt(0) === minus ? 1 : 0;
  if (text.length - begin > exactDigits) return Number(text);
  const magnitude = magnitudeValue(text, begin, text.indexOf('.'), text.length);
  return begin === 1 ? -magnitude : magnitude;
}

/** Puts the point into digits printed without one: `12345` with 3 decimals is `12.345`; with −1, `123450`. */
export function placePoint(digits: string, decimals: number): string | null {
  const sign = /^[+-]/.exec(digits)?.[0] ?? '';
  const plain = digits.slice(sign.length);
  if (!/^\d+$/.test(plain) || decimals > 20 || decimals < -20) return null;
  if (decimals <= 0) return `${sign}${plain}${'0'.repeat(-decimals)}`;
  const padded = plain.padStart(decimals + 1, '0');
  return `${sign}${padded.slice(0, -decimals)}.${padded.slice(-decimals)}`;
}
