import { describe, expect, it } from 'vitest';
import { asFoundFinding } from '../../../shared/calibration/as-found-finding.ts';
import type { InstrumentMetrology } from '../../../shared/calibration/metrology.ts';

const wrench: InstrumentMetrology = {
  quantity: 'torque',
  unit: 'N.m',
  ranges: [{ upTo: 60, resolution: 0.01 }],
  maximumPermissibleError: { kind: 'relative', fraction: 0.04 },
};
const point = (reference: number, error: number) => ({
  indication: reference + error,
  reference,
  expanded: 0.1,
  k: 2,
});

describe('what a calibration found before adjustment', () => {
  it('names the point that lies farthest out against what is permitted there, not the largest error', () => {
    const finding = asFoundFinding({ unit: 'N.m', asFound: [point(5, 0.5), point(60, 1.5)] }, wrench);
    expect(finding).toMatchObject({ indication: 5.5, error: 0.5, permitted: 0.2, outOfTolerance: true });
  });

  it('calls an error as large as permitted inside', () => {
    const finding = asFoundFinding({ unit: 'N.m', asFound: [point(50, 2)] }, wrench);
    expect(finding).toMatchObject({ permitted: 2, outOfTolerance: false });
  });

  it('takes a permissible error in the unit of the certificate', () => {
    const scale: InstrumentMetrology = {
      quantity: 'mass',
      unit: 'kg',
      ranges: [{ upTo: 3, resolution: 0.0001 }],
      maximumPermissibleError: { kind: 'absolute', value: 0.0005 },
    };
    const finding = asFoundFinding({ unit: 'g', asFound: [point(500, 0.6)] }, scale);
    expect(finding).toMatchObject({ permitted: 0.5, outOfTolerance: true });
  });

  it('leaves open what nothing says', () => {
    const { maximumPermissibleError: _, ...unknown } = wrench;
    const finding = asFoundFinding({ unit: 'N.m', asFound: [point(50, 2), point(60, -3)] }, unknown);
    expect(finding).toMatchObject({ error: -3, permitted: null, outOfTolerance: null });
  });
});
