import { describe, expect, test } from 'vitest';
import { certificateSchema } from '../../../shared/calibration/certificate.ts';
import {
  type BudgetRequest,
  budgetOfIndication,
  instrumentMetrologySchema,
} from '../../../shared/calibration/metrology.ts';

const certificate = certificateSchema.parse({
  number: 'INV-7',
  provider: 'Invented laboratory',
  reference: 'Invented set of weights',
  date: '2026-03-01',
  due: '2027-03-01',
  unit: 'g',
  asLeft: [
    { reference: 0, error: 0, expanded: 0.01, k: 2 },
    { reference: 200, error: 0.1, expanded: 0.04, k: 2 },
  ],
});
const scale = instrumentMetrologySchema.parse({
  quantity: 'mass',
  unit: 'g',
  ranges: [
    { upTo: 100, resolution: 0.01 },
    { upTo: 500, resolution: 0.1 },
  ],
  repeatability: { standardDeviation: 0.02, degreesOfFreedom: 9 },
  maximumPermissibleError: { kind: 'absolute', value: 0.1 },
  driftPerDay: 0.0001,
});
const wrench = instrumentMetrologySchema.parse({
  quantity: 'torque',
  unit: 'lbf.in',
  ranges: [{ upTo: 500, resolution: 1 }],
  maximumPermissibleError: { kind: 'relative', fraction: 0.04 },
  lever: {
    wrenchLength: 300,
    extension: 50,
    angleDegrees: 0,
    unit: 'mm',
    wrenchLengthHalfWidth: 5,
    extensionHalfWidth: 1,
  },
});

const weighing: BudgetRequest = {
  metrology: scale,
  certificate,
  indication: { text: '120.0', unit: 'g' },
  tare: { text: '13.20', unit: 'g' },
  corrected: true,
  at: '2026-06-09T08:00:00Z',
  unit: 'g',
};

function lines(request: BudgetRequest): Record<string, number> {
  const budget = budgetOfIndication(request);
  if (!budget.ok) throw new Error(budget.error.message);
  return Object.fromEntries(budget.value.contributions.map(({ name, contribution }) => [name, contribution]));
}

describe('the budget of an indication', () => {
  test('of a corrected net mass: certificate, linearity, drift of 100 days, a step for gross and one for tare, scatter twice', () => {
    const found = lines(weighing);
    expect(found.certificate).toBeCloseTo(0.02, 15);
    expect(found['linearity between points']).toBeCloseTo(0.05 / Math.sqrt(3), 15);
    expect(found['drift since calibration']).toBeCloseTo(0.01 / Math.sqrt(3), 15);
    expect(found['resolution at gross']).toBeCloseTo(0.1 / Math.sqrt(12), 15);
    expect(found['resolution at tare']).toBeCloseTo(0.01 / Math.sqrt(12), 15);
    expect(found.repeatability).toBeCloseTo(0.02 * Math.SQRT2, 15);
  });

  test('not corrected it stands on the permissible error instead', () => {
    const found = lines({ ...weighing, corrected: false });
    expect(found['maximum permissible error']).toBeCloseTo(0.1 / Math.sqrt(3), 15);
    expect(found.certificate).toBeUndefined();
  });

  test('of a wrench goes through the lever to the ring, in the unit of the band, with the lengths', () => {
    const found = lines({
      metrology: wrench,
      certificate: null,
      indication: { value: 200, unit: 'lbf.in' },
      corrected: false,
      at: '2026-06-09T08:00:00Z',
      unit: 'N.m',
    });
    const newtonMetres = 0.1129848290276167;
    const ratio = 350 / 300;
    expect(found['maximum permissible error']).toBeCloseTo((8 * newtonMetres * ratio) / Math.sqrt(3), 12);
    expect(found.resolution).toBeCloseTo((newtonMetres * ratio) / Math.sqrt(12), 12);
    // T = S·(L + E)/L: ∂T/∂L = −S·E/L², ∂T/∂E = S/L.
    const atWrench = 200 * newtonMetres;
    expect(found['wrench length']).toBeCloseTo((atWrench * 50 * 5) / 300 ** 2 / Math.sqrt(3), 12);
    expect(found['extension length']).toBeCloseTo(atWrench / 300 / Math.sqrt(3), 12);
  });

  test('the derivatives of the lever agree with small differences, at an angle too', () => {
    const at = (lever: object) =>
      lines({
        metrology: instrumentMetrologySchema.parse({ ...wrench, lever }),
        certificate: null,
        indication: { value: 40, unit: 'N.m' },
        corrected: false,
        at: '2026-06-09',
        unit: 'N.m',
      });
    const torque = (L: number, E: number, degrees: number) =>
      (40 * (L + E * Math.cos((degrees * Math.PI) / 180))) / L;
    const h = 1e-4;
    const slope = (plus: number, minus: number) => Math.abs(plus - minus) / (2 * h) / Math.sqrt(3);
    const base = { wrenchLength: 300, extension: 50, angleDegrees: 40, unit: 'mm' };
    expect(at({ ...base, wrenchLengthHalfWidth: 1 })['wrench length']).toBeCloseTo(
      slope(torque(300 + h, 50, 40), torque(300 - h, 50, 40)),
      8,
    );
    expect(at({ ...base, extensionHalfWidth: 1 })['extension length']).toBeCloseTo(
      slope(torque(300, 50 + h, 40), torque(300, 50 - h, 40)),
      8,
    );
    expect(at({ ...base, angleHalfWidthDegrees: 1 })['extension angle']).toBeCloseTo(
      slope(torque(300, 50, 40 + h), torque(300, 50, 40 - h)),
      8,
    );
  });

  test.each([
    [
      'above the capacity',
      { indication: { value: 501, unit: 'g' as const }, corrected: false },
      'above_capacity',
    ],
    [
      'outside the calibrated range',
      { indication: { value: 300, unit: 'g' as const } },
      'outside_calibration_range',
    ],
    ['a torque on a scale', { indication: { value: 1, unit: 'N.m' as const } }, 'mixed_quantities'],
    ['corrected without a certificate', { certificate: null }, 'no_certificate'],
    [
      'neither corrected nor with a permissible error',
      { corrected: false, metrology: { ...scale, maximumPermissibleError: undefined } },
      'no_error_bound',
    ],
  ])('is refused %s', (_, part, code) => {
    expect(budgetOfIndication({ ...weighing, ...part })).toMatchObject({ ok: false, error: { code } });
  });
});
