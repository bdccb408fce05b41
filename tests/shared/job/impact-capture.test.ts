import { describe, expect, it } from 'vitest';
import { readAsFound } from '../../../shared/calibration/as-found.ts';
import { type Certificate, certificateSchema } from '../../../shared/calibration/certificate.ts';
import { type AsFound, judgeAgain } from '../../../shared/calibration/impact.ts';
import type { InstrumentMetrology } from '../../../shared/calibration/metrology.ts';
import type { Indication } from '../../../shared/indication.ts';
import type { Capture } from '../../../shared/job/capture.ts';
import { impactCaptureOf } from '../../../shared/job/impact-capture.ts';
import { measure } from '../../../shared/measurement/measure.ts';
import type { MassStep, MeasuredStep, TorqueStep } from '../../../shared/sheet/step.ts';
import { makeCapture, makeStep, tare as takenTare } from './workbench.ts';

const certificateOf = (unit: string, errors: readonly [number, number][]): Certificate =>
  certificateSchema.parse({
    number: 'C-1',
    provider: 'Invented bench',
    reference: 'Invented standard',
    date: '2026-01-01',
    due: '2027-01-01',
    unit,
    asLeft: errors.map(([indication, error]) => ({ indication, error, expanded: 0.01, k: 2 })),
  });

const scale: InstrumentMetrology = {
  quantity: 'mass',
  unit: 'g',
  ranges: [{ upTo: 3200, resolution: 0.01 }],
  maximumPermissibleError: { kind: 'absolute', value: 0.05 },
};
const wrench: InstrumentMetrology = {
  quantity: 'torque',
  unit: 'lbf.ft',
  ranges: [{ upTo: 45, resolution: 0.1 }],
  maximumPermissibleError: { kind: 'relative', fraction: 0.04 },
};
const known = certificateOf('g', [
  [0, 0.01],
  [100, 0.03],
  [500, 0.11],
]);
const found = certificateOf('g', [
  [0, 0.02],
  [100, 0.4],
  [500, 2.1],
]);
const knownTorque = certificateOf('lbf.ft', [
  [5, 0.1],
  [45, 0.3],
]);
const foundTorque = certificateOf('lbf.ft', [
  [5, 0.2],
  [45, 1.9],
]);

const massStep = makeStep.mass('fill') as MassStep;
const torqueStep = makeStep.torque('tighten') as TorqueStep;
const shown = (text: string, unit: Indication['unit']): Indication => ({
  offset: 0,
  text,
  value: Number(text),
  unit,
  state: 'stable',
});

interface Situation {
  readonly step: MeasuredStep;
  readonly metrology: InstrumentMetrology;
  readonly certificate: Certificate;
  readonly corrected: boolean;
  readonly indication: Indication;
  readonly tare?: Indication;
}

/** The value that the step would have had with another certificate known. */
function valueWith({ step, metrology, indication, tare, corrected }: Situation, certificate: Certificate) {
  const measured = measure(
    step,
    { metrology, certificate, correctByCertificate: corrected },
    indication,
    tare ?? null,
    '2026-06-01',
  );
  if (!measured.ok) throw new Error(measured.error.message);
  return measured.value;
}

function captureOf(situation: Situation): Capture {
  const { measured, corrections, judgement } = valueWith(situation, situation.certificate);
  const { step, indication, tare } = situation;
  return {
    ...makeCapture(step, 1, 1, null),
    indication,
    ...(tare === undefined ? {} : { tare: { ...takenTare, indication: tare } }),
    measured,
    corrections: [...corrections],
    judgement: { ...judgement, tolerance: { ...judgement.tolerance } },
  };
}

function judgedAgain(situation: Situation, asFound: AsFound): number {
  const [line] = judgeAgain([impactCaptureOf(captureOf(situation))], asFound);
  if (line === undefined || line.outcome === 'unknown') throw new Error('could not be said');
  return line.judgement.value;
}

const lever = {
  wrenchLength: 250,
  extension: 60,
  angleDegrees: 30,
  unit: 'mm',
  lengthsUncertainty: 1,
} as const;
const onDish: Situation = {
  step: massStep,
  metrology: scale,
  certificate: known,
  corrected: true,
  indication: shown('80.40', 'g'),
  tare: shown('62.10', 'g'),
};
const pulled: Situation = {
  step: torqueStep,
  metrology: wrench,
  certificate: knownTorque,
  corrected: true,
  indication: shown('20.3', 'lbf.ft'),
};

const situations: Readonly<Record<string, Situation>> = {
  'a fill on a dish': onDish,
  'a fill by difference, tube before and after': {
    ...onDish,
    step: { ...massStep, method: 'difference' },
    indication: shown('62.10', 'g'),
    tare: shown('80.40', 'g'),
  },
  'a fill with residue and air buoyancy': {
    ...onDish,
    step: {
      ...massStep,
      residueLossGrams: 0.4,
      buoyancy: { apply: true, materialDensityKilogramsPerCubicMetre: 900 },
    },
  },
  'a pull in another unit than the sheet': pulled,
  'a pull through an adapter': { ...pulled, step: { ...torqueStep, lever } },
};

describe('a stored capture judged again with the error that was found', () => {
  for (const [name, situation] of Object.entries(situations)) {
    const report = situation.step.kind === 'mass' ? found : foundTorque;
    const asFound: AsFound = { unit: report.unit, points: report.asFound };

    it(`${name}: has the value that it would have had, had the error been known`, () => {
      expect(judgedAgain(situation, asFound)).toBeCloseTo(valueWith(situation, report).measured.value, 9);
    });

    it(`${name}: keeps its value where what was found is what was known`, () => {
      const { certificate } = situation;
      const same: AsFound = { unit: certificate.unit, points: certificate.asLeft };
      expect(judgedAgain(situation, same)).toBeCloseTo(valueWith(situation, certificate).measured.value, 12);
    });

    it(`${name}: counts the whole error where nothing was corrected then`, () => {
      const plain = { ...situation, corrected: false };
      expect(judgedAgain(plain, asFound)).toBeCloseTo(
        valueWith({ ...plain, corrected: true }, report).measured.value,
        9,
      );
    });
  }

  it('takes the error of a wrench turned counter-clockwise at the same size', () => {
    const back: Situation = {
      ...pulled,
      corrected: false,
      step: { ...torqueStep, direction: 'counter-clockwise' },
      indication: shown('-20.3', 'lbf.ft'),
    };
    // 0.2 + 1.7 · 15.3/40 = 0.85025 lbf·ft too much shown.
    const inNewtonMetres = 1.3558179483314; // NIST SP 811 App. B.8
    const asFound: AsFound = { unit: 'lbf.ft', points: foundTorque.asFound };
    expect(judgedAgain(back, asFound)).toBeCloseTo((20.3 - 0.85025) * inNewtonMetres, 9);
  });

  it('takes one error for the whole range; a net mass does not feel it', () => {
    expect(judgedAgain(pulled, { unit: 'lbf.ft', error: 1 })).toBeCloseTo(19.3 * 1.3558179483314, 9);
    expect(judgedAgain({ ...onDish, corrected: false }, { unit: 'g', error: 0.5 })).toBeCloseTo(18.3, 12);
  });
});

describe('a file of as-found errors', () => {
  const point = { reference: 20, error: 0.5 };

  it('is points, a whole certificate, or one error', () => {
    expect(readAsFound({ unit: 'g', points: [{ indication: 50, error: 1 }, point] })).toEqual({
      ok: true,
      value: {
        foundOn: null,
        asFound: {
          unit: 'g',
          points: [
            { indication: 20.5, reference: 20, expanded: 0, k: 1 },
            { indication: 50, reference: 49, expanded: 0, k: 1 },
          ],
        },
      },
    });
    const certificate = {
      number: 'C-2',
      provider: 'Invented bench',
      reference: 'Invented standard',
      date: '2026-11-01',
      due: '2027-11-01',
      unit: 'g',
      asFound: [{ ...point, expanded: 0.01, k: 2 }],
      asLeft: [{ reference: 20, error: 0, expanded: 0.01, k: 2 }],
    };
    expect(readAsFound(certificate)).toMatchObject({
      value: { foundOn: '2026-11-01', asFound: { points: [{ indication: 20.5 }] } },
    });
    expect(readAsFound({ unit: 'Nm', error: -0.5, date: '2026-11-01' })).toEqual({
      ok: true,
      value: { foundOn: '2026-11-01', asFound: { unit: 'N.m', error: -0.5 } },
    });
  });

  it.each([
    [{ points: [point] }, 'unit'],
    [{ unit: 'furlong', points: [point] }, 'unit'],
    [{ unit: 'g' }, 'points'],
    [{ unit: 'g', points: [] }, 'points'],
    [{ unit: 'g', points: [{ reference: 20 }] }, 'points[0]'],
    [{ unit: 'g', points: [point, point] }, 'points'],
    [{ unit: 'g', error: Number.NaN }, 'error'],
    [{ unit: 'g', error: 'much' }, 'error'],
    [{ unit: 'g', points: [point], typo: 1 }, 'typo'],
    [{ unit: 'g', asFound: [{ ...point, error: Number.POSITIVE_INFINITY }] }, 'asFound[0].error'],
    [[point], ''],
    ['text', ''],
    [null, ''],
  ])('%j is refused and names the field', (document, field) => {
    expect(readAsFound(document)).toMatchObject({ ok: false, error: { field } });
  });
});
