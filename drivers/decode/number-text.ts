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
  const magnitude = canonicalMagnitude(text, begin, at);
  return (negative || sign === minus) && Number(magnitude) !== 0 ? `-${magnitude}` : magnitude;
}

/** Without leading zeros, with a digit before the point. `at` is the place of the decimal sign, −1 without one. */
function canonicalMagnitude(text: string, begin: number, at: number): string {
  const last = (at === -1 ? text.length : at) - 1;
  let from = begin;
  while (from < last && text.charCodeAt(from) === digit0) from += 1;
  const kept = text.slice(from);
  const pointed = at !== -1 && text.charCodeAt(at) === comma ? kept.replace(',', '.') : kept;
  return at === begin ? `0${pointed}` : pointed;
}

const powersOfTen = Array.from({ length: 16 }, (_, power) => 10 ** power);

/**
 * The double nearest to a canonical decimal text. Up to 15 digits are an exact integer over an exact power of ten,
 * whose quotient is correctly rounded (IEEE 754), so the result is that of `Number(text)` at a third of its cost.
 */
export function valueOfNumber(text: string): number {
  const negative = text.charCodeAt(0) === minus;
  if (text.length > 16) return Number(text);
  let digits = 0;
  let decimals = 0;
  let afterPoint = 0;
  for (let index = negative ? 1 : 0; index < text.length; index += 1) {
    const code = text.charCodeAt(index);
    if (code === point) afterPoint = 1;
    else {
      digits = digits * 10 + (code - digit0);
      decimals += afterPoint;
    }
  }
  if (digits >= 1e15) return Number(text);
  const magnitude = digits / (powersOfTen[decimals] ?? Number.NaN);
  return negative ? -magnitude : magnitude;
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
