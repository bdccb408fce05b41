import { describe, expect, test } from 'vitest';
import { LessonRecorder } from '../../drivers/teach/lesson-recorder.ts';
import { buildProfile } from '../../drivers/teach.ts';
import type { Result } from '../../shared/result.ts';

const grams = (text: string, state: 'stable' | 'unstable') => ({ text, unit: 'g' as const, state });
const bytes = (...lines: readonly string[]) =>
  Buffer.from(lines.map((line) => `${line}\r\n`).join(''), 'latin1');

function codeOf(result: Result<unknown>): string {
  return result.ok ? 'taken' : result.error.code;
}

describe('a lesson while its bytes still come', () => {
  test('a display is confirmed as of the moment at which it was read, however long the typing takes', () => {
    const recorder = new LessonRecorder();
    recorder.take(bytes('n 1', 'LOAD 5.00 g move', 'LOAD 7.25 g move'));
    const read = recorder.heardBytes;
    for (let line = 0; line < 60; line++) recorder.take(bytes('LOAD 12.34 g rest'));
    expect(codeOf(recorder.confirm(grams('7.25', 'unstable')))).toBe('display_not_found');
    expect(codeOf(recorder.confirm(grams('7.25', 'unstable'), read))).toBe('taken');
    expect(codeOf(recorder.confirm(grams('12.34', 'stable')))).toBe('taken');
    const lesson = recorder.lesson();
    if (!lesson.ok) throw new Error(lesson.error.message);
    expect(buildProfile(lesson.value, { name: 'taught', title: { en: 'T', de: 'T' } })).toMatchObject({
      ok: true,
      value: { stability: { stable: ['rest'], unstable: ['move'] }, units: { g: 'g' } },
    });
  });

  test('a flickering digit cannot turn rest and motion round', () => {
    const recorder = new LessonRecorder();
    recorder.take(
      bytes('n 1', 'LOAD 12.33 g move', 'LOAD 12.34 g move', 'LOAD 12.33 g rest', 'LOAD 12.33 g rest'),
    );
    expect(codeOf(recorder.confirm(grams('12.34', 'stable')))).toBe('display_moved');
    expect(recorder.confirmed()).toEqual([]);
    expect(codeOf(recorder.confirm(grams('12.33', 'stable')))).toBe('taken');
  });

  test('after a loss of the port nothing that came before counts', () => {
    const recorder = new LessonRecorder();
    recorder.take(bytes('n 1', 'LOAD 12.34 g rest', 'LOAD 12.34 g rest'));
    recorder.confirm(grams('12.34', 'stable'));
    recorder.forget();
    expect(recorder.confirmed()).toEqual([]);
    expect(codeOf(recorder.lesson())).toBe('no_lines');
  });

  test('the recording stays small while nothing is confirmed, and whole once something is', () => {
    const recorder = new LessonRecorder();
    for (let line = 0; line < 2000; line++) recorder.take(bytes('LOAD 12.34 g rest'));
    expect(recorder.bytes().length).toBe(16_384);
    expect(codeOf(recorder.confirm(grams('12.34', 'stable')))).toBe('taken');
    for (let line = 0; line < 9000; line++) recorder.take(bytes('LOAD 12.34 g rest'));
    expect(recorder.bytes().length).toBeLessThanOrEqual(65_536);
    expect(recorder.bytes().length).toBeGreaterThan(60_000);
  });
});
