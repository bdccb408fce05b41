import { readFileSync } from 'node:fs';
import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { VerdictIcon } from '../../../renderer/parts/icons.tsx';
import { createWording } from '../../../renderer/wording/wording.ts';
import { decisions } from '../../../shared/acceptance/judgement.ts';

const css = readFileSync(new URL('../../../renderer/styles/tokens.css', import.meta.url), 'utf8');

/** Rows of a matrix: what red, green and blue become. */
type Eye = readonly (readonly number[])[];

/**
 * How linear red, green and blue look to an eye that lacks one kind of cone. Machado, Oliveira and Fernandes, "A
 * Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE TVCG 15 (2009), table for severity 1.0
 * (values from memory; each row adds up to 1, which is checked below). No colour at all: the luminance of IEC 61966-2-1.
 */
const eyes: Readonly<Record<string, Eye>> = {
  'every cone': [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  'protanopia (no red cones)': [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  'deuteranopia (no green cones)': [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  'tritanopia (no blue cones)': [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
  'a print in grey': [
    [0.2126, 0.7152, 0.0722],
    [0.2126, 0.7152, 0.0722],
    [0.2126, 0.7152, 0.0722],
  ],
};

const themes = [
  ['light', ':root {'],
  ['dark', ':root[data-theme="dark"]'],
  ['high contrast', ':root[data-theme="contrast"]'],
] as const;

function token(selector: string, name: string): string {
  const block = css.slice(css.indexOf(selector)).match(/\{([^}]*)\}/)?.[1] ?? '';
  return new RegExp(`${name}:\\s*(#[0-9a-f]{6})`).exec(block)?.[1] ?? '';
}

/** Relative luminance (WCAG 2.2) of a colour as that eye sees it. */
function luminance(colour: string, eye: Eye): number {
  const seen = [1, 3, 5].map((at) => {
    const channel = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
  });
  const [red = 0, green = 0, blue = 0] = eye.map((row) => {
    const value = row.reduce((sum, weight, index) => sum + weight * (seen[index] ?? 0), 0);
    return Math.min(1, Math.max(0, value));
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function contrast(one: string, other: string, eye: Eye): number {
  const [darker = 0, lighter = 0] = [luminance(one, eye), luminance(other, eye)].sort((a, b) => a - b);
  return (lighter + 0.05) / (darker + 0.05);
}

it('the simulated eyes see white as white', () => {
  for (const [name, eye] of Object.entries(eyes)) {
    for (const row of eye)
      expect([name, row.reduce((sum, one) => sum + one)]).toEqual([name, expect.closeTo(1, 5)]);
  }
});

describe.each(themes)('in the %s theme', (_, selector) => {
  // Half as light again: told apart side by side, without any hue. Common practice, no source.
  it.each(Object.entries(eyes))('pass is lighter than fail for %s', (_name, eye) => {
    const [pass, fail] = [token(selector, '--pass'), token(selector, '--fail')];
    expect(luminance(pass, eye)).toBeGreaterThan(luminance(fail, eye));
    expect(contrast(pass, fail, eye)).toBeGreaterThan(1.5);
  });

  it.each(Object.entries(eyes))('a decision is readable on its surface for %s', (_name, eye) => {
    for (const name of ['--pass', '--conditional', '--fail']) {
      const ratio = contrast(token(selector, name), token(selector, `${name}-tint`), eye);
      expect(ratio, name).toBeGreaterThan(4.5);
    }
  });
});

it('each decision has a shape of its own: what passes is round, what fails has corners', () => {
  const pictures = decisions.map((verdict) => renderToStaticMarkup(createElement(VerdictIcon, { verdict })));
  const outlines = pictures.map((picture) => /<(circle|rect)/.exec(picture)?.[1]);
  expect(new Map(decisions.map((decision, index) => [decision, outlines[index]]))).toEqual(
    new Map([
      ['pass', 'circle'],
      ['conditional pass', 'circle'],
      ['conditional fail', 'rect'],
      ['fail', 'rect'],
    ]),
  );
  expect(new Set(pictures.map((picture) => picture.replace(/fill="[^"]*"/g, ''))).size).toBe(4);
});

it.each(['en', 'de'] as const)('each decision has a word of its own (%s)', (language) => {
  const { say } = createWording(language, null);
  expect(new Set(decisions.map((decision) => say(`verdict.${decision}`))).size).toBe(4);
});
