import { describe, expect, it } from 'vitest';
import { hexText, printableText } from '../../../renderer/wording/byte-text.ts';
import { keyName } from '../../../renderer/wording/key-name.ts';
import { failureSentence } from '../../../renderer/wording/refusal-sentence.ts';
import { createWording } from '../../../renderer/wording/wording.ts';

const english = createWording('en');
const german = createWording('de');

describe('numbers on the screen', () => {
  it('keep every decimal that the instrument showed, with the decimal sign of the language', () => {
    expect(english.quantity('80.40', 'g')).toBe('80.40\u202fg');
    expect(german.quantity('80.40', 'g')).toBe('80,40\u202fg');
  });

  it('take the decimal sign of the settings before that of the language', () => {
    expect(createWording('en', ',').quantity('25.76', 'N.m')).toBe('25,76\u202fN·m');
  });

  it('write minus as a minus and never a negative zero', () => {
    expect(english.decimal('-0.005')).toBe('−0.005');
    expect(english.fixed(-0.001, 2)).toBe('0.00');
  });

  it('never round a doubt away: 99.996 % is not 100 %, a trace is not 0 %', () => {
    expect(english.percent(0.99996)).toBe('> 99.99\u202f%');
    expect(english.percent(1)).toBe('> 99.99\u202f%');
    expect(english.percent(0.000001)).toBe('< 0.01\u202f%');
    expect(english.percent(0.1439)).toBe('14.4\u202f%');
  });

  it('print units with the half-high dot of ISO 80000-1', () => {
    expect(english.quantity('19.0', 'lbf.ft')).toBe('19.0\u202flbf·ft');
  });

  it('say an age in the unit that fits', () => {
    expect([3, 200, 9000].map((seconds) => english.duration(seconds))).toEqual([
      '3\u202fs',
      '3\u202fmin',
      '3\u202fh',
    ]);
  });

  it('write days in the order of the language', () => {
    expect(english.day('2026-11-25')).toBe('25 Nov 2026');
    expect(german.day('2026-11-25')).toBe('25.11.2026');
  });
});

describe('words for what cannot be taken', () => {
  it('are of the language of the screen where the code is known', () => {
    const failure = {
      kind: 'refusal',
      refusal: { code: 'not_stable', field: 'stepId', message: 'The scale has not settled.' },
    } as const;
    expect(failureSentence(failure, german)).toMatch(/^Die Waage steht noch nicht ruhig/);
  });

  it('take the words for the fitness of an instrument with or without its prefix', () => {
    const refusal = { code: 'instrument_out_of_date', field: '', message: 'x' };
    expect(failureSentence({ kind: 'refusal', refusal }, english)).toMatch(/calibration .* has run out/);
  });

  it('are those of the station for a code that is new', () => {
    const refusal = { code: 'never_heard_of', field: '', message: 'Do it another way.' };
    expect(failureSentence({ kind: 'refusal', refusal }, german)).toBe('Do it another way.');
  });
});

describe('keys and bytes', () => {
  it('are named as the keyboard of the language prints them', () => {
    expect(keyName('Ctrl+F9', 'en')).toBe('Ctrl F9');
    expect(keyName('Ctrl+F9', 'de')).toBe('Strg F9');
    expect(keyName('Shift+F8', 'de')).toBe('⇧ F8');
  });

  it('show controls by name, so that no byte of the evidence is hidden', () => {
    const bytes = new Uint8Array([0x02, 0x53, 0x54, 0x2c, 0xff, 0x0d, 0x0a]);
    expect(printableText(bytes)).toBe('‹STX›ST,‹FF›‹CR›‹LF›');
    expect(hexText(bytes)).toBe('02 53 54 2c ff 0d 0a');
  });
});
