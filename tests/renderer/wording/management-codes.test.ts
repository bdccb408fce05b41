import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { codeKey, failureSentence } from '../../../renderer/wording/refusal-sentence.ts';
import { createWording } from '../../../renderer/wording/wording.ts';
import { daySchema, identifierSchema } from '../../../shared/identifier.ts';
import { managementCommandSchema } from '../../../shared/management-command.ts';
import { parseWith } from '../../../shared/schema-refusal.ts';

const shared = join(import.meta.dirname, '..', '..', '..', 'shared');

/** Where the commands of leads and administrators are decided. */
const sources = [
  ...readdirSync(join(shared, 'instrument')).map((name) => join(shared, 'instrument', name)),
  join(shared, 'people', 'decide-person.ts'),
  join(shared, 'people', 'pin-policy.ts'),
  join(shared, 'consumable', 'decide-lot.ts'),
  join(shared, 'consumable', 'lot-refusal.ts'),
  join(shared, 'sheet', 'decide-sheet.ts'),
  ...['teach-desk.ts'].map((name) => join(shared, '..', 'electron', 'station', name)),
  ...['lesson.ts', 'proposal.ts', 'lesson-recorder.ts'].map((name) =>
    join(shared, '..', 'drivers', 'teach', name),
  ),
];

function codesIn(file: string): string[] {
  const text = readFileSync(file, 'utf8');
  return [...text.matchAll(/\b(?:refuse|refusal)\(\s*'([a-z_]+)'/g)].map(([, code]) => code ?? '');
}

describe('what is said when a lead or an administrator is refused', () => {
  const codes = [...new Set(sources.flatMap(codesIn))].sort();

  it('has words for every code that these commands may be refused with', () => {
    expect(codes.length).toBeGreaterThan(40);
    expect(codes.filter((code) => codeKey(code) === null)).toEqual([]);
  });

  it.each([
    ['bo b', '2027-01-01', 'personId', /no blanks/, /keine Leerzeichen/],
    ['', '2027-01-01', 'personId', /no blanks/, /keine Leerzeichen/],
    ['bo', '2027-13-01', 'until', /no day/, /kein Tag/],
  ])('says in both languages what is wrong with “%s” and %s', (personId, until, field, english, german) => {
    const read = parseWith(z.object({ personId: identifierSchema, until: daySchema }), { personId, until });
    if (read.ok) throw new Error('it was taken');
    const say = (language: 'en' | 'de') =>
      failureSentence({ kind: 'refusal', refusal: read.error }, createWording(language));
    expect(say('en')).toMatch(english);
    expect(say('de')).toMatch(german);
    expect(say('en')).toContain(`“${field}”`);
  });

  it('names the field of a certificate that was pasted', () => {
    const command = {
      kind: 'addCertificate',
      instrumentId: 'scale-1',
      certificate: {
        number: 'X',
        provider: 'X',
        reference: 'X',
        date: '2026-01-01',
        due: '2027-01-01',
        unit: 'g',
      },
    };
    const read = parseWith(managementCommandSchema, command);
    if (read.ok) throw new Error('it was taken');
    const say = (language: 'en' | 'de') =>
      failureSentence({ kind: 'refusal', refusal: read.error }, createWording(language));
    expect(say('en')).toBe('“certificate.asLeft” is missing. Fill it in.');
    expect(say('de')).toBe('„certificate.asLeft“ fehlt. Das Feld ausfüllen.');
  });
});
