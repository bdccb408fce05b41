import { describe, expect, it } from 'vitest';
import { differenceWords } from '../../../renderer/screens/sheets/difference-words.ts';
import { withValueAt } from '../../../renderer/state/sheet-draft.ts';
import { createWording, languages } from '../../../renderer/wording/wording.ts';
import { loadDemoWorkshop } from '../../../seeds/index.ts';
import { differencesBetween } from '../../../shared/sheet/difference.ts';
import type { ServiceSheet } from '../../../shared/sheet/sheet.ts';
import { makeStep } from '../../shared/job/workbench.ts';
import { furnished, placesIn } from './furnished-sheet.ts';

function wordsFor(before: ServiceSheet, after: ServiceSheet, language: 'en' | 'de' = 'en') {
  return differenceWords(differencesBetween(before, after), before, after, createWording(language)).map(
    ({ path: _path, ...words }) => words,
  );
}

function changedAt(sheet: ServiceSheet, place: string): ServiceSheet {
  const value = place.split('.').reduce<unknown>((at, key) => (at as Record<string, unknown>)[key], sheet);
  const other =
    typeof value === 'number'
      ? value + 1
      : typeof value === 'string'
        ? `${value}x`
        : typeof value === 'boolean'
          ? !value
          : undefined;
  return withValueAt(sheet, place, other) as ServiceSheet;
}

describe('what differs between two revisions, in words', () => {
  it('is a step by its title, a field by its label, and both values with their unit', () => {
    const lighter = structuredClone(furnished);
    const tighten = lighter.steps[2];
    if (tighten?.kind !== 'torque') throw new Error('the third step is the torque');
    tighten.band = { ...tighten.band, target: 28.5 };
    tighten.maximumAttempts = 4;
    tighten.direction = 'counter-clockwise';
    tighten.lever = undefined;
    const step = tighten.title.de;
    const lever = [
      'Einheit der Längen: mm',
      'Länge des Schlüssels, von der Hand bis zum Antrieb: 300\u202fmm',
      'Länge der Verlängerung, vom Antrieb bis zum Ring: 50\u202fmm',
      'Winkel zwischen beiden in Grad (in einer Linie: 0): 0',
      'Jede Länge ist bekannt auf ±: 1\u202fmm',
    ];
    expect(wordsFor(furnished, lighter, 'de')).toEqual([
      { step, field: 'Ziel', before: ['27\u202fN·m'], after: ['28,5\u202fN·m'] },
      { step, field: 'Versuche', before: ['2'], after: ['4'] },
      {
        step,
        field: 'Ein Adapter oder eine Verlängerung sitzt am Schlüssel',
        before: lever,
        after: null,
      },
      { step, field: 'Drehrichtung', before: ['im Uhrzeigersinn'], after: ['gegen den Uhrzeigersinn'] },
    ]);
  });

  it('is a whole step where one is new, and the order by titles', () => {
    const note = { ...makeStep.note('remarks'), title: { en: 'Remarks', de: 'Bemerkungen' } };
    const [first, fill, tighten] = furnished.steps;
    if (!first || !fill || !tighten) throw new Error('three steps');
    const before = { ...furnished, steps: [first, fill, tighten] };
    const after = { ...furnished, steps: [fill, first, tighten, note] };
    const titles = [first, fill, tighten].map(({ title }) => title.en);
    expect(wordsFor(before, after)).toMatchObject([
      {
        step: null,
        field: 'Order of the steps',
        before: titles.map((title, index) => `${index + 1}. ${title}`),
      },
      {
        step: 'Remarks',
        field: 'The whole step',
        before: null,
        after: ['Note · mandatory', 'Anything else?'],
      },
    ]);
  });

  it('has words for every place of every sheet, never its path', () => {
    const told = new Set<string>();
    for (const language of languages) {
      for (const sheet of [furnished, ...loadDemoWorkshop().sheets]) {
        const places = placesIn(sheet).filter((place) => !/^(format|revision)$|stepId$/.test(place));
        for (const place of places) {
          const changed = changedAt(sheet, place);
          if (!Array.isArray(changed.steps) || changed.head === undefined) continue;
          if (changed.steps.some((step) => step === undefined || step.cautions === undefined)) continue;
          if (changed.steps.some(({ cautions }) => cautions.includes(undefined as never))) continue;
          for (const { field } of wordsFor(sheet, changed, language)) {
            expect(field, place).toMatch(/^[\p{Lu}]/u);
            told.add(field);
          }
        }
      }
    }
    expect(told.size).toBeGreaterThan(100);
  });
});
