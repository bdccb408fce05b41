import { expect, test } from 'vitest';
import { type ImpactCapture, judgeAgain } from '../../../shared/calibration/impact.ts';

const capture: ImpactCapture = {
  captureId: 'a',
  quantity: 'torque',
  indication: { text: '27.00', unit: 'N.m' },
  measured: { value: 27, unit: 'N.m' },
  band: { target: 27, lower: 25.92, upper: 28.08, unit: 'N.m' },
  uncertainty: { expanded: 0.3, k: 2, unit: 'N.m' },
  rule: { kind: 'guarded', factor: 1, source: 'test' },
  decision: 'pass',
};
const asFound = {
  unit: 'N.m' as const,
  points: [
    { indication: 10, reference: 10, expanded: 0.1, k: 2 },
    { indication: 50, reference: 48, expanded: 0.1, k: 2 },
  ],
};

test('an as-found error turns a pass into what it would have been, and says by how much', () => {
  // At 27 the error is 2 · 17/40 = 0.85: the ring had 26.15, inside 25.92 but outside 26.22.
  const [line] = judgeAgain([capture], asFound);
  expect(line).toMatchObject({
    captureId: 'a',
    outcome: 'changed',
    before: 'pass',
    after: 'conditional pass',
    shift: -0.85,
  });
  expect(line?.outcome === 'changed' && line.judgement.value).toBe(26.15);
});

test('a correction that was applied then is not taken off twice', () => {
  const [line] = judgeAgain(
    [
      {
        ...capture,
        measured: { value: 26.15, unit: 'N.m' },
        calibrationCorrection: { value: -0.85, unit: 'N.m' },
        decision: 'conditional pass',
      },
    ],
    asFound,
  );
  expect(line).toMatchObject({ outcome: 'unchanged', shift: 0 });
});

test('the error goes through the lever', () => {
  const [line] = judgeAgain(
    [{ ...capture, leverRatio: 1.2, measured: { value: 32.4, unit: 'N.m' } }],
    asFound,
  );
  expect(line).toMatchObject({ shift: -1.02 });
});

test('a net mass loses the difference of the errors at gross and tare', () => {
  const [line] = judgeAgain(
    [
      {
        ...capture,
        quantity: 'mass',
        indication: { text: '50', unit: 'g' },
        tare: { text: '10', unit: 'g' },
        measured: { value: 40, unit: 'g' },
        band: { lower: 38, upper: 42, unit: 'g' },
        uncertainty: { expanded: 0.5, k: 2, unit: 'g' },
      },
    ],
    { ...asFound, unit: 'g' },
  );
  expect(line).toMatchObject({ shift: -2, before: 'pass', after: 'conditional pass' });
});

test('a counter-clockwise pull is judged by the size of its indication', () => {
  const [line] = judgeAgain([{ ...capture, indication: { text: '-27.00', unit: 'N.m' } }], asFound);
  expect(line).toMatchObject({ shift: -0.85 });
});

test('outside the as-found range nothing is claimed: the capture is listed for a person', () => {
  const lines = judgeAgain(
    [capture, { ...capture, captureId: 'b', indication: { text: '60', unit: 'N.m' } }],
    asFound,
  );
  expect(lines.map(({ captureId, outcome }) => [captureId, outcome])).toEqual([
    ['a', 'changed'],
    ['b', 'unknown'],
  ]);
  expect(lines[1]).toMatchObject({ reason: { code: 'outside_calibration_range' } });
});

test('the captures themselves stay as they were', () => {
  const frozen = Object.freeze({ ...capture });
  judgeAgain([frozen], asFound);
  expect(frozen).toEqual(capture);
});
