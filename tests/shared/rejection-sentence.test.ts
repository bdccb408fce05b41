import { describe, expect, test } from 'vitest';
import { rejectionReasonOf, rejectionReasons } from '../../shared/indication.ts';
import { rejectionSentence, rejectionSentences } from '../../shared/rejection-sentence.ts';

describe.each(rejectionReasons)('the refusal %s', (reason) => {
  test('has a sentence in English and German that says what to do', () => {
    const { en, de } = rejectionSentences[reason];
    expect(en).not.toBe(de);
    for (const sentence of [en, de]) {
      expect(sentence).toMatch(/^[A-ZÄÖÜ].{40,}\.$/);
      expect(sentence).not.toContain('_');
    }
    expect(en).toMatch(/check|repeat|wait|nothing to do|look|print|ask|take|set|keep|pull/i);
  });
});

test('a word of the profile’s own is counted as such and named in the sentence', () => {
  expect(rejectionReasonOf('low_battery')).toBe('refused_by_profile');
  expect(rejectionReasonOf('overload')).toBe('overload');
  expect(rejectionReasonOf('constructor')).toBe('refused_by_profile');
  expect(rejectionSentence('low_battery', 'en')).toContain('(low_battery)');
  expect(rejectionSentence('overload', 'de')).toBe(rejectionSentences.overload.de);
});
