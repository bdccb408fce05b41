import { describe, expect, it } from 'vitest';
import { detailText } from '../../../renderer/screens/audit/event-words.ts';
import { createWording } from '../../../renderer/wording/wording.ts';

const german = createWording('de');
const english = createWording('en');

describe('what an event says besides', () => {
  it('prints a number with its unit, as the language writes it', () => {
    expect(detailText({ text: '61.40', unit: 'g' }, german)).toBe('Wert: 61,40\u202fg');
    expect(detailText({ text: '12', unit: 'N.m' }, english)).toBe('Value: 12\u202fN·m');
    expect(detailText({ text: '41.5', unit: 'dB(A)' }, english)).toBe('Value: 41.5\u202fdB(A)');
  });

  it('leaves a note as it was written, and keeps everything else', () => {
    expect(detailText({ text: 'Ring 2.5 mm worn' }, english)).toBe('Text: Ring 2.5 mm worn');
    expect(detailText({ lotId: 'LOT-BLUE-01', answer: 'no' }, english)).toBe('Lot: LOT-BLUE-01 · Answer: No');
    expect(detailText({ unit: 'g' }, english)).toBe('Unit: g');
  });
});
