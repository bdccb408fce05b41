import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const css = readFileSync(new URL('../../../renderer/styles/tokens.css', import.meta.url), 'utf8');

/** The colours of a theme, over those of the light one. */
function tokensOf(selector: string): ReadonlyMap<string, string> {
  const block = css.slice(css.indexOf(selector)).match(/\{([^}]*)\}/)?.[1] ?? '';
  return new Map(
    [...block.matchAll(/(--[\w-]+):\s*(#[0-9a-f]{6})/g)].map(([, name = '', value = '']) => [name, value]),
  );
}

/** Relative luminance and contrast ratio as WCAG 2.2 defines them. */
function luminance(colour: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const channel = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function contrast(one: string, other: string): number {
  const [darker = 0, lighter = 0] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (lighter + 0.05) / (darker + 0.05);
}

/** Texts need 4.5:1 (1.4.3), edges of controls, marks and lines of a chart 3:1 (1.4.11). */
const pairs: readonly (readonly [string, string, number])[] = [
  ['--ink', '--sheet', 4.5],
  ['--ink', '--ground', 4.5],
  ['--ink-soft', '--sheet', 4.5],
  ['--ink-soft', '--ground', 4.5],
  ['--ink', '--grid', 4.5],
  ['--on-act', '--act', 4.5],
  ['--act', '--sheet', 4.5],
  ['--pass', '--pass-tint', 4.5],
  ['--pass', '--sheet', 4.5],
  ['--conditional', '--conditional-tint', 4.5],
  ['--fail', '--fail-tint', 4.5],
  ['--fail', '--sheet', 4.5],
  ['--simulated', '--simulated-tint', 4.5],
  ['--ink', '--pass-tint', 4.5],
  ['--ink', '--conditional-tint', 4.5],
  ['--ink', '--fail-tint', 4.5],
  ['--line', '--sheet', 3],
  ['--line', '--ground', 3],
  ['--focus', '--sheet', 3],
  ['--focus', '--ground', 3],
  ['--ink', '--zone-acceptance', 3],
  ['--ink-soft', '--zone-tolerance', 3],
];

describe.each([
  ['light', ':root {'],
  ['dark', ':root[data-theme="dark"]'],
  ['high contrast', ':root[data-theme="contrast"]'],
])('the colours of the %s theme', (_, selector) => {
  const tokens = tokensOf(selector);

  it.each(pairs)('tell %s from %s by %f:1', (one, other, least) => {
    expect(contrast(tokens.get(one) ?? '', tokens.get(other) ?? '')).toBeGreaterThanOrEqual(least);
  });
});

it('the dark colours are the same when the computer asks for them', () => {
  expect([...tokensOf(':root[data-theme="system"]')]).toEqual([...tokensOf(':root[data-theme="dark"]')]);
});

it('contrast is reckoned as WCAG says: black on white is 21:1', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 9);
});
