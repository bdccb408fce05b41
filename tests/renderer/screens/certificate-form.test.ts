import { describe, expect, it } from 'vitest';
import {
  type CertificateForm,
  certificateOfForm,
  emptyLine,
} from '../../../renderer/screens/instruments/certificate-form.ts';
import { createWording } from '../../../renderer/wording/wording.ts';
import { certificateSchema } from '../../../shared/calibration/certificate.ts';

const german = createWording('de');
const line = (parts: Partial<typeof emptyLine>) => ({ ...emptyLine, ...parts });
const form: CertificateForm = {
  number: 'INVENTED-1',
  provider: 'Erfunden',
  reference: 'Erfundene Gewichte',
  date: '2026-03-01',
  due: '2027-03-01',
  unit: 'g',
  asLeft: [line({ reference: '20', error: '0,01', expanded: '0,02' }), emptyLine],
  asFound: null,
};

describe('a certificate as it is typed', () => {
  it('takes the decimal sign of the screen, leaves empty lines out and completes a point', () => {
    const read = certificateOfForm(form, german);
    if (!read.ok) throw new Error(read.error.message);
    expect(certificateSchema.parse(read.value).asLeft).toEqual([
      { indication: 20.01, reference: 20, expanded: 0.02, k: 2 },
    ]);
  });

  it('takes a day as the language of the screen writes it, or as ISO 8601', () => {
    const read = certificateOfForm({ ...form, date: '1.3.2026', due: '2027-03-01' }, german);
    expect(read).toMatchObject({ ok: true, value: { date: '2026-03-01', due: '2027-03-01' } });
  });

  it('names list, line and column of a number that is none, in the language of the screen', () => {
    const bad = { ...form, asLeft: [line({ reference: '1.000', error: '0', expanded: '1' })] };
    expect(certificateOfForm(bad, german)).toMatchObject({
      ok: false,
      error: { field: 'Wie übergeben, Zeile 1, Bezugswert' },
    });
  });

  it('asks for what is missing by its label', () => {
    expect(certificateOfForm({ ...form, due: ' ' }, german)).toMatchObject({
      ok: false,
      error: { code: 'missing', field: 'Gültig bis' },
    });
    expect(certificateOfForm({ ...form, asLeft: [emptyLine] }, german)).toMatchObject({
      ok: false,
      error: { code: 'missing', field: 'Wie übergeben' },
    });
  });
});
