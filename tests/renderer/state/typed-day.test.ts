import { describe, expect, it } from 'vitest';
import { parseTypedDay, typedDay } from '../../../renderer/state/typed-day.ts';

describe('a day as people type it', () => {
  it.each([
    ['2026-03-01', 'en', '2026-03-01'],
    [' 2026-03-01 ', 'de', '2026-03-01'],
    ['1.3.2026', 'de', '2026-03-01'],
    ['01.03.2026', 'de', '2026-03-01'],
  ] as const)('takes %j in %s', (text, language, day) => {
    expect(parseTypedDay(text, language)).toBe(day);
  });

  it.each([
    ['1.3.2026', 'en'],
    ['30.2.2026', 'de'],
    ['2026-02-30', 'en'],
    ['1.3.26', 'de'],
    ['3/1/2026', 'en'],
    ['', 'de'],
  ] as const)('takes %j in %s for no day', (text, language) => {
    expect(parseTypedDay(text, language)).toBeNull();
  });

  it('writes it as it is typed there', () => {
    expect([typedDay('2026-03-01', 'en'), typedDay('2026-03-01', 'de')]).toEqual([
      '2026-03-01',
      '01.03.2026',
    ]);
    for (const language of ['en', 'de'] as const)
      expect(parseTypedDay(typedDay('2024-02-29', language), language)).toBe('2024-02-29');
    expect(typedDay('half a day', 'de')).toBe('half a day');
  });
});
