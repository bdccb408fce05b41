import { describe, expect, test } from 'vitest';
import {
  followKey,
  noKeys,
  usualWedgeSettings,
  type WedgeOutcome,
  type WedgeSettings,
} from '../../shared/wedge.ts';

/** Types keys at a pace and gives what they turned out to be. */
function type(
  keys: readonly string[],
  gap: number,
  settings: WedgeSettings = usualWedgeSettings,
): WedgeOutcome[] {
  const outcomes: WedgeOutcome[] = [];
  let state = noKeys;
  for (const [index, key] of keys.entries()) {
    const next = followKey(settings, state, { key, atMilliseconds: index * gap });
    state = next.state;
    if (next.outcome.kind !== 'undecided') outcomes.push(next.outcome);
  }
  return outcomes;
}

const letters = (text: string) => [...text, 'Enter'];
const personText = (outcomes: readonly WedgeOutcome[]) =>
  outcomes
    .map((outcome) =>
      outcome.kind === 'person' ? outcome.text + (outcome.key?.length === 1 ? outcome.key : '') : '',
    )
    .join('');

describe('keys of a device that types', () => {
  test('a burst that ends with Enter is one input', () => {
    expect(type(letters('RA-2031-0417'), 8)).toEqual([{ kind: 'device', text: 'RA-2031-0417', by: 'burst' }]);
  });

  test('also a reading with blanks, and capitals for which Shift is pressed', () => {
    expect(type(letters('+  12.34 g'), 5)).toEqual([{ kind: 'device', text: '+  12.34 g', by: 'burst' }]);
    expect(type(['Shift', 'R', 'Shift', 'A', '1', '2', 'Tab'], 10)).toMatchObject([
      { kind: 'device', text: 'RA12' },
    ]);
  });

  test('after its prefix a slow device is known too, and a short input counts', () => {
    const settings = { ...usualWedgeSettings, prefix: '~' };
    expect(type(letters('~12'), 35, settings)).toEqual([{ kind: 'device', text: '12', by: 'prefix' }]);
    expect(type(letters('~RA-2031'), 120, { ...settings })).toEqual([
      { kind: 'device', text: 'RA-2031', by: 'prefix' },
    ]);
  });

  test('two inputs in a row are two', () => {
    expect(type([...letters('1111'), ...letters('2222')], 8)).toMatchObject([
      { text: '1111' },
      { text: '2222' },
    ]);
  });
});

describe('keys of a person', () => {
  test('come back as they were typed', () => {
    const outcomes = type(letters('12.34'), 120);
    expect(outcomes.every(({ kind }) => kind === 'person')).toBe(true);
    expect(personText(outcomes)).toBe('12.34');
  });

  test('two keys rolled over and Enter are no device', () => {
    expect(type(letters('ok'), 20)).toEqual([{ kind: 'person', text: 'ok', key: 'Enter' }]);
  });

  test('a device that stops half-way is given to the person and never joined with what comes later', () => {
    const half = followKey(usualWedgeSettings, noKeys, { key: 'R', atMilliseconds: 0 });
    const later = followKey(usualWedgeSettings, half.state, { key: 'x', atMilliseconds: 500 });
    expect(later.outcome).toEqual({ kind: 'person', text: 'R', key: null });
    expect(later.state.text).toBe('x');
  });

  test('arrows and function keys end an input', () => {
    expect(type(['1', '2', '3', '4', 'F2'], 8)).toEqual([{ kind: 'person', text: '1234', key: 'F2' }]);
  });

  test('an input without end is given back', () => {
    const outcomes = type(Array<string>(600).fill('7'), 5);
    expect(outcomes[0]).toMatchObject({ kind: 'person', key: '7' });
  });
});
