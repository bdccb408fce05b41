import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { sheetRefusalSentence } from '../../../renderer/screens/sheets/sheet-refusal-sentence.ts';
import { type Plain, valueAt, withValueAt } from '../../../renderer/state/sheet-draft.ts';
import { failureSentence } from '../../../renderer/wording/refusal-sentence.ts';
import { createWording, type Language, languages } from '../../../renderer/wording/wording.ts';
import type { Refusal } from '../../../shared/result.ts';
import { readSheet } from '../../../shared/sheet/sheet-check.ts';
import { furnished, placesIn } from './furnished-sheet.ts';

const whole = withValueAt(furnished, 'steps.1.after', ['first']) as Plain;

function refusalOf(sheet: unknown): Refusal {
  const read = readSheet(sheet);
  if (read.ok) throw new Error('it was taken');
  return read.error;
}

function said(sheet: Plain, language: Language, asJson = false): string {
  const refusal = refusalOf(sheet);
  return failureSentence({ kind: 'refusal', refusal }, createWording(language), { sheet, asJson });
}

const withAt = (path: string, value: unknown) => withValueAt(whole, path, value) as Plain;

/** What a lead may do wrong in the form, and what the screen says. */
const mistakes: readonly [string, Plain, string, string][] = [
  [
    'limits the wrong way round',
    withAt('steps.1.band.lower', 19.5),
    'Step 2 “fill”, “Lower limit”: the lower limit 19.5 is not below the upper limit 18.6. Correct one of them.',
    'Schritt 2 „fill“, „Untere Grenze“: Die untere Grenze 19,5 liegt nicht unter der oberen Grenze 18,6. Eine von beiden berichtigen.',
  ],
  [
    'a target outside',
    withAt('steps.2.band.target', 31.25),
    'Step 3 “tighten”, “Target”: the target 31.25 lies outside the limits. Correct it or the limits.',
    'Schritt 3 „tighten“, „Ziel“: Das Ziel 31,25 liegt außerhalb der Grenzen. Das Ziel oder die Grenzen berichtigen.',
  ],
  [
    'a number that is none',
    withAt('steps.2.band.upper', '29,16 N'),
    'Step 3 “tighten”, “Upper limit”: “29,16 N” is no number. Type one like 12.5.',
    'Schritt 3 „tighten“, „Obere Grenze“: „29,16 N“ ist keine Zahl. Eine wie 12,5 tippen.',
  ],
  [
    'attempts by halves',
    withAt('steps.1.maximumAttempts', 2.5),
    'Step 2 “fill”, “Attempts”: “2.5” is no whole number. Type one without decimals.',
    'Schritt 2 „fill“, „Versuche“: „2,5“ ist keine ganze Zahl. Eine ohne Nachkommastellen tippen.',
  ],
  [
    'too many attempts',
    withAt('steps.1.maximumAttempts', 21),
    'Step 2 “fill”, “Attempts”: 21 is too large. Give 20 or less.',
    'Schritt 2 „fill“, „Versuche“: 21 ist zu groß. Höchstens 20 angeben.',
  ],
  [
    'a length of nothing',
    withAt('steps.2.lever.wrenchLength', 0),
    'Step 3 “tighten”, “Length of the wrench, from hand to drive”: 0 is too small. Give more than 0.',
    'Schritt 3 „tighten“, „Länge des Schlüssels, von der Hand bis zum Antrieb“: 0 ist zu klein. Mehr als 0 angeben.',
  ],
  [
    'a factor below zero',
    withAt('steps.1.rule.factor', -0.5),
    'Step 2 “fill”, “Multiple of U”: −0.5 is out of range. Give a number from 0 to 100.',
    'Schritt 2 „fill“, „Vielfaches von U“: −0,5 liegt außerhalb. Eine Zahl von 0 bis 100 angeben.',
  ],
  [
    'a text of one language only',
    withAt('steps.3.question.de', ''),
    'Step 4 “check”, “Question, German”: this is empty. Fill it in.',
    'Schritt 4 „check“, „Frage, Deutsch“: Das Feld ist leer. Ausfüllen.',
  ],
  [
    'an empty text of a caution',
    withAt('steps.0.cautions.0.text.en', ' '),
    'Step 1 “first”, “Caution 1 · Text, English”: this is empty. Fill it in.',
    'Schritt 1 „first“, „Warnung 1 · Text, Englisch“: Das Feld ist leer. Ausfüllen.',
  ],
  [
    'no cautions',
    withAt('steps.0.cautions', []),
    'Step 1 “first”, “Cautions at this step”: a caution step names its hazards. Add at least one.',
    'Schritt 1 „first“, „Warnungen bei diesem Schritt“: Ein Warnschritt nennt seine Gefahren. Mindestens eine einfügen.',
  ],
  [
    'a threshold without its unit',
    withAt('steps.2.pullThreshold', { value: 3 }),
    'Step 3 “tighten”, “Unit of the threshold”: this is missing. Choose one: N·m, cN·m, lbf·in, lbf·ft, ozf·in, kgf·cm, kgf·m, gf·cm.',
    'Schritt 3 „tighten“, „Einheit der Schwelle“: Die Angabe fehlt. Wählen: N·m, cN·m, lbf·in, lbf·ft, ozf·in, kgf·cm, kgf·m, gf·cm.',
  ],
  [
    'no part choice at all',
    withAt('steps.4.choices', []),
    'Step 5 “disposition”, “Choices”: there are too few. Give at least 1.',
    'Schritt 5 „disposition“, „Möglichkeiten“: Es sind zu wenige. Mindestens 1 angeben.',
  ],
  [
    'a reason for what cannot be chosen',
    withAt('steps.4.reasonRequiredFor', ['scrap']),
    'Step 5 “disposition”, “These take a reason”: a reason is asked for “Scrap it”, which is none of the choices. Add the choice, or take it out here.',
    'Schritt 5 „disposition“, „Diese brauchen einen Grund“: Für „Verschrotten“ wird ein Grund verlangt, aber es ist keine der Möglichkeiten. Die Möglichkeit einfügen, oder sie hier herausnehmen.',
  ],
  [
    'a step of no name yet',
    withAt('steps.6', { ...(valueAt(whole, 'steps.6') as Plain), stepId: '', title: { en: '', de: '' } }),
    'Step 7, “Short name of the step”: this is empty. Fill it in.',
    'Schritt 7, „Kurzname des Schritts“: Das Feld ist leer. Ausfüllen.',
  ],
  [
    'a step after one that there is not',
    withAt('steps.6.after', ['gone']),
    'Step 7 “numeric”, “Comes after”: no step has the short name “gone”. Correct it.',
    'Schritt 7 „numeric“, „Kommt nach“: Kein Schritt hat den Kurznamen „gone“. Berichtigen.',
  ],
  [
    'a sign-off before the work is done',
    withAt('steps.8.after', ['first']),
    'Step 9 “signOff”, “Comes after”: step “fill” may still be open at the last sign-off. Let the sign-off come after it.',
    'Schritt 9 „signOff“, „Kommt nach“: Schritt „fill“ kann bei der letzten Unterschrift noch offen sein. Die Unterschrift nach ihm kommen lassen.',
  ],
  [
    'a day that is none',
    withAt('effectiveFrom', '2026-02-30'),
    'The sheet itself, “In force from”: “2026-02-30” is no day. Type it like 2026-03-01.',
    'Das Blatt selbst, „Gilt ab“: „2026-02-30“ ist kein Tag. Wie 2026-03-01 tippen.',
  ],
  [
    'no steps',
    withAt('steps', []),
    'The sheet itself, “Steps”: there are too few. Give at least 1.',
    'Das Blatt selbst, „Schritte“: Es sind zu wenige. Mindestens 1 angeben.',
  ],
];

describe('why a service sheet is not taken', () => {
  it('starts from a sheet that is taken', () => {
    expect(readSheet(whole)).toMatchObject({ ok: true });
  });

  it.each(mistakes)('names step, field, fault and remedy: %s', (_name, sheet, english, german) => {
    expect(said(sheet, 'en')).toBe(english);
    expect(said(sheet, 'de')).toBe(german);
  });

  it('adds the place in the JSON only where it is written as JSON, with numbers as they stand there', () => {
    const sheet = withAt('steps.1.band.lower', 19.5);
    expect(said(sheet, 'de', true)).toContain('Grenze 19.5 liegt nicht unter');
    expect(said(sheet, 'de', true)).toMatch(/ Im JSON: steps\[1\]\.band\.lower\.$/);
    expect(said(withAt('steps.1.band.colour', 'red'), 'en', true)).toBe(
      'Step 2 “fill”, “colour”: a sheet has no such entry here. Correct its name or remove it. In the JSON: steps[1].band.colour.',
    );
  });

  it('has words for every rule that a sheet is checked by', () => {
    const source = readFileSync(
      join(import.meta.dirname, '..', '..', '..', 'shared', 'sheet', 'sheet-check.ts'),
      'utf8',
    );
    const codes = [...source.matchAll(/\brefusal\(\s*'([a-z_]+)'/g)].map(([, code]) => code ?? '');
    expect(new Set(codes).size).toBeGreaterThan(10);
    const refused = { sheet: whole, asJson: false };
    const values = { quantity: 'mass' };
    const mute = codes.filter(
      (code) =>
        sheetRefusalSentence(
          { code, field: 'steps[0].x', message: '', values },
          refused,
          createWording('de'),
        ) === null,
    );
    expect(mute).toEqual([]);
  });

  it.each(languages)('says no path and no word of the schema, whatever is spoiled, in %s', (language) => {
    const told = new Set<string>();
    for (const place of placesIn(whole)) {
      for (const spoiled of [undefined, '', 'x y', -1, true, [], {}, 'x'.repeat(3000)]) {
        const draft = withValueAt(whole, place, spoiled) as Plain;
        const read = readSheet(draft);
        if (read.ok) continue;
        const sentence = said(draft, language);
        expect(sentence, place).toMatch(
          language === 'en' ? /^(Step \d+|The sheet itself)/ : /^(Schritt \d+|Das Blatt selbst)/,
        );
        expect(sentence, place).not.toMatch(/\w\[\d|[a-z]\.[a-z]+\.|\{\w+\}|undefined/i);
        expect(/, [“„]([^“”]+)[“”]: /.exec(sentence)?.[1] ?? 'Whole', place).toMatch(/^\p{Lu}/u);
        told.add(sentence);
      }
    }
    expect(told.size).toBeGreaterThan(300);
  });
});
