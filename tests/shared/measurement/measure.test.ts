import { describe, expect, it } from 'vitest';
import { certificateSchema } from '../../../shared/calibration/certificate.ts';
import { instrumentMetrologySchema } from '../../../shared/calibration/metrology.ts';
import { measure } from '../../../shared/measurement/measure.ts';
import { massStepSchema, torqueStepSchema } from '../../../shared/sheet/step.ts';

const text = { en: 'x', de: 'x' };
const common = { title: text, mandatory: true, cautions: [], maximumAttempts: 3 };

const scale = {
  correctByCertificate: true,
  metrology: instrumentMetrologySchema.parse({
    quantity: 'mass',
    unit: 'g',
    ranges: [{ upTo: 620, resolution: 0.01 }],
    repeatability: { standardDeviation: 0.005, degreesOfFreedom: 9 },
    maximumPermissibleError: { kind: 'absolute', value: 0.05 },
  }),
  certificate: certificateSchema.parse({
    number: 'C-1',
    provider: 'invented',
    reference: 'invented weights',
    date: '2026-06-01',
    due: '2027-06-01',
    unit: 'g',
    asLeft: [
      { indication: 0, error: 0, expanded: 0.006, k: 2 },
      { indication: 100, error: 0.02, expanded: 0.008, k: 2 },
    ],
  }),
};

const fill = massStepSchema.parse({
  ...common,
  stepId: 'fill',
  kind: 'mass',
  method: 'dish',
  tare: 'station',
  band: { target: 18, lower: 17.4, upper: 18.6, unit: 'g' },
  rule: { kind: 'guarded', factor: 1 },
  residueLossGrams: 0.1,
});

const wrench = {
  correctByCertificate: false,
  metrology: instrumentMetrologySchema.parse({
    quantity: 'torque',
    unit: 'lbf.ft',
    ranges: [{ upTo: 100, resolution: 0.1 }],
    maximumPermissibleError: { kind: 'relative', fraction: 0.01 },
  }),
  certificate: null,
};

const ring = torqueStepSchema.parse({
  ...common,
  stepId: 'ring',
  kind: 'torque',
  finalPull: 'last',
  band: { target: 27, lower: 24, upper: 30, unit: 'N.m' },
  rule: { kind: 'guarded', factor: 1 },
});

describe('measuring', () => {
  it('takes the tare, the certificate error and what stays on the dish off, in exact decimals', () => {
    const result = measure(
      fill,
      scale,
      { text: '31.00', unit: 'g' },
      { text: '12.80', unit: 'g' },
      '2026-11-25T10:00:00+01:00',
    );
    if (!result.ok) throw new Error(result.error.message);
    // error at 31.00 g: 0.0062; at 12.80 g: 0.00256; net 18.2 - 0.00364 - 0.1
    expect(result.value.measured).toEqual({ text: '18.0964', value: 18.09636, unit: 'g' });
    expect(result.value.corrections.map(({ name }) => name)).toEqual(['calibration', 'residue']);
    expect(result.value.judgement.decision).toBe('pass');
    expect(result.value.judgement.value).toBe(result.value.measured.value);
    expect(result.value.budget.contributions.map(({ name }) => name)).toContain('resolution at tare');
  });

  it('judges a wrench in pound-feet against a sheet in newton metres', () => {
    const result = measure(ring, wrench, { text: '19.9', unit: 'lbf.ft' }, null, '2026-11-25T10:00:00+01:00');
    if (!result.ok) throw new Error(result.error.message);
    // NIST SP 811: 1 lbf.ft = 1.3558179483314004 N.m
    expect(result.value.measured.value).toBeCloseTo(26.980777, 6);
    expect(result.value.judgement.decision).toBe('pass');
  });

  it('carries an in-line extension to the ring and lets its lengths count', () => {
    const withExtension = {
      ...ring,
      band: { target: 135, lower: 120, upper: 150, unit: 'lbf.in' as const },
      lever: {
        wrenchLength: 10,
        extension: 1.5,
        angleDegrees: 0,
        unit: 'in' as const,
        lengthsUncertainty: 0.05,
      },
    };
    const inch = {
      ...wrench,
      metrology: { ...wrench.metrology, unit: 'lbf.in' as const, ranges: [{ upTo: 500, resolution: 0.1 }] },
    };
    const result = measure(
      withExtension,
      inch,
      { text: '117.4', unit: 'lbf.in' },
      null,
      '2026-11-25T10:00:00Z',
    );
    if (!result.ok) throw new Error(result.error.message);
    // Aircraft maintenance manual, ch. 20 (check-values.md section 5): 135 lbf.in needs 117.39 at the wrench.
    expect(result.value.measured.value).toBeCloseTo(117.4 * 1.15, 9);
    expect(result.value.budget.contributions.some(({ cause }) => cause === 'geometry')).toBe(true);
  });

  it('refuses an indication outside the calibrated range instead of guessing a correction', () => {
    const result = measure(fill, scale, { text: '150.00', unit: 'g' }, null, '2026-11-25T10:00:00Z');
    expect(result).toMatchObject({ ok: false, error: { code: 'outside_calibration_range' } });
  });

  it('refuses a unit of another quantity', () => {
    const result = measure(fill, scale, { text: '1.0', unit: 'N.m' }, null, '2026-11-25T10:00:00Z');
    expect(result).toMatchObject({ ok: false, error: { code: 'wrong_unit' } });
  });

  it('corrects a counter-clockwise pull by its size and judges it the right way round', () => {
    const certified = {
      ...wrench,
      correctByCertificate: true,
      certificate: certificateSchema.parse({
        number: 'C-2',
        provider: 'invented',
        reference: 'invented transducer',
        date: '2026-06-01',
        due: '2027-06-01',
        unit: 'lbf.ft',
        asLeft: [
          { indication: 5, error: 0.1, expanded: 0.05, k: 2 },
          { indication: 40, error: 0.1, expanded: 0.2, k: 2 },
        ],
      }),
    };
    const turned = { ...ring, direction: 'counter-clockwise' as const };
    const result = measure(
      turned,
      certified,
      { text: '-20.0', unit: 'lbf.ft' },
      null,
      '2026-11-25T10:00:00Z',
    );
    if (!result.ok) throw new Error(result.error.message);
    expect(result.value.measured.value).toBeCloseTo(19.9 * 1.3558179483314, 9);
    expect(result.value.judgement.decision).toBe('pass');
  });
});
