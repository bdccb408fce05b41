import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createSteadiness, describeSteadiness } from '../../drivers/steadiness.ts';
import type { Indication } from '../../shared/indication.ts';

const rule = { readings: 5, window_ms: 1000, spread_divisions: 1, division: { g: '0.02' } };

function reading(text: string, unit: Indication['unit'] = 'g'): Indication {
  return { offset: 0, text, value: Number(text), unit, state: 'unstable' };
}

/** States of readings that come at a steady pace. */
function states(
  texts: readonly string[],
  { every = 200, from = 0, steadiness = createSteadiness(rule) } = {},
): string {
  return texts
    .map((text, index) => steadiness.push(reading(text), from + index * every).state.slice(0, 1))
    .join('');
}

describe('a scale without a flag', () => {
  test('is stable once the window is full of readings within the spread', () => {
    expect(states(Array<string>(8).fill('12.34'))).toBe('uuuuusss');
  });

  test('on the limit counts as inside, one last digit more does not', () => {
    expect(states(['12.34', '12.36', '12.34', '12.36', '12.34', '12.36'])).toBe('uuuuus');
    expect(states(['12.34', '12.37', '12.34', '12.37', '12.34', '12.37'])).toBe('uuuuuu');
  });

  test('decimals are compared exactly: 0.3 − 0.1 is two tenths', () => {
    const steadiness = createSteadiness({ ...rule, division: { g: '0.2' } });
    expect(states(['0.1', '0.3', '0.1', '0.3', '0.1', '0.3'], { steadiness })).toBe('uuuuus');
    expect(0.3 - 0.1).not.toBe(0.2);
  });

  test('too few readings in the window are not enough, however equal', () => {
    expect(states(Array<string>(6).fill('1.00'), { every: 400 })).toBe('uuuuuu');
  });

  test('a break, another unit or a reset begins anew', () => {
    const steadiness = createSteadiness(rule);
    expect(states(Array<string>(7).fill('1.00'), { steadiness })).toBe('uuuuuss');
    expect(states(Array<string>(7).fill('1.00'), { steadiness, from: 5000 })).toBe('uuuuuss');
    expect(steadiness.push(reading('1.00', 'kg'), 6300).state).toBe('unstable');
    expect(states(Array<string>(7).fill('1.00'), { steadiness, from: 6400 })).toBe('uuuuuss');
    steadiness.reset();
    expect(steadiness.push(reading('1.00'), 7700).state).toBe('unstable');
  });

  test('without a division in the profile one step of the last digit counts', () => {
    const steadiness = createSteadiness({ readings: 3, window_ms: 400, spread_divisions: 1 });
    expect(states(['5', '6', '5', '7'], { steadiness })).toBe('uusu');
  });

  test('never calls stable what differs by more than the spread within the window', () => {
    const hundredths = fc.array(fc.integer({ min: 0, max: 4 }), { maxLength: 40 });
    fc.assert(
      fc.property(hundredths, (steps) => {
        const texts = steps.map((step) => `7.0${step}`);
        const said = states(texts);
        for (let index = 0; index < texts.length; index += 1) {
          const window = steps.slice(Math.max(0, index - 5), index + 1);
          const spread = Math.max(...window) - Math.min(...window);
          expect(said[index] === 's').toBe(index >= 5 && spread <= 2);
        }
      }),
    );
  });
});

test('the rule is stated in words with its numbers', () => {
  expect(describeSteadiness(rule).en).toContain(
    'at least 5 readings of the last 1 s differ by no more than 1 d (d = 0.02 g)',
  );
  expect(describeSteadiness(rule).de).toContain('(d = 0,02 g)');
});
