import { describe, expect, it } from 'vitest';
import { english } from '../../../renderer/wording/english.ts';
import { german } from '../../../renderer/wording/german.ts';

const placeholders = (text: string) => [...text.matchAll(/\{(\w+)\}/g)].map(([, name]) => name).sort();
const keys = Object.keys(english) as (keyof typeof english)[];

describe('the texts of the screens', () => {
  it('are there in both languages, none empty, none too many', () => {
    expect(Object.keys(german).sort()).toEqual([...keys].sort());
    for (const key of keys) expect([english[key].trim(), german[key].trim()]).not.toContain('');
  });

  it('say the same numbers and names in both languages', () => {
    const unequal = keys.filter(
      (key) => placeholders(german[key]).join() !== placeholders(english[key]).join(),
    );
    expect(unequal).toEqual([]);
  });
});
