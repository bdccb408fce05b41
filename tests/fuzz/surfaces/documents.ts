import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { certificateSchema, correctIndication } from '../../../shared/calibration/certificate.ts';
import { canonicalJson, type JsonObject } from '../../../shared/evidence/canonical-json.ts';
import { rationalOfNumber } from '../../../shared/quantity/decimal-text.ts';
import { toNumber } from '../../../shared/quantity/rational.ts';
import { parseWith } from '../../../shared/schema-refusal.ts';
import { readSheet } from '../../../shared/sheet/sheet-check.ts';
import { spoiled } from '../mutation.ts';
import { isRefusal } from '../refusal.ts';
import type { Surface } from '../surface.ts';

const seeds = join(import.meta.dirname, '..', '..', '..', 'seeds');

function sheetDocuments(): readonly unknown[] {
  const folder = join(seeds, 'sheets');
  return readdirSync(folder).map((name) => JSON.parse(readFileSync(join(folder, name), 'utf8')));
}

/** Service sheets as one workshop sends them to another. */
export const sheetSurface: Surface = {
  name: 'sheet JSON',
  holds: 'refused with field and sentence, or the same sheet again from its canonical form',
  async open() {
    return {
      property: fc.property(spoiled(sheetDocuments()), (document) => {
        const sheet = readSheet(document);
        if (!sheet.ok) return isRefusal(sheet.error);
        const text = canonicalJson({ ...sheet.value } as JsonObject);
        const again = readSheet(JSON.parse(text));
        return again.ok && canonicalJson({ ...again.value } as JsonObject) === text;
      }),
    };
  },
};

/** Invented. */
const certificates = [
  {
    number: 'FUZZ-1',
    provider: 'Invented',
    reference: 'Invented',
    date: '2026-01-05',
    due: '2027-01-05',
    unit: 'g',
    asFound: [
      { indication: 0, reference: 0, expanded: 0.01, k: 2 },
      { indication: 20.01, reference: 20, expanded: 0.01, k: 2 },
      { indication: 50.02, reference: 50, expanded: 0.012, k: 2 },
    ],
    asLeft: [{ reference: 20, error: 0.01, expanded: 0.01, k: 2 }],
  },
];

/** Calibration certificates that are typed or imported. */
export const certificateSurface: Surface = {
  name: 'certificate JSON',
  holds: 'refused with field and sentence, or corrects any indication to a finite number',
  async open() {
    const indication = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    return {
      property: fc.property(spoiled(certificates), indication, (document, value) => {
        const certificate = parseWith(certificateSchema, document);
        if (!certificate.ok) return isRefusal(certificate.error);
        const { asFound, unit } = certificate.value;
        const corrected = correctIndication(certificate.value, asFound, rationalOfNumber(value), unit);
        if (!corrected.ok) return isRefusal(corrected.error);
        const { correction, standardUncertainty, linearityHalfWidth } = corrected.value;
        return [toNumber(correction), standardUncertainty, linearityHalfWidth].every(Number.isFinite);
      }),
    };
  },
};
