import { describe, expect, test } from 'vitest';
import { preloadNewtons, torqueNewtonMetresFromPreload } from '../../shared/calibration/bolted-joint.ts';
import { torqueAtRing, torqueAtWrench } from '../../shared/calibration/lever.ts';
import { setPointOf } from '../../shared/calibration/set-point.ts';
import {
  isStepFineEnough,
  proposedWrenchLimit,
  wrenchDeviationPercent,
  wrenchTestPoints,
} from '../../shared/calibration/wrench-class.ts';
import { massGramsForFill } from '../../shared/mass/fill.ts';
import { consistencyGrade, relubricationGrams } from '../../shared/mass/grease.ts';
import { convertNumber } from '../../shared/quantity/conversion.ts';
import { rationalOfNumber } from '../../shared/quantity/decimal-text.ts';
import { toNumber } from '../../shared/quantity/rational.ts';
import checkValues from '../fixtures/check-values.json' with { type: 'json' };
import { expectWithin, taken } from './nearness.ts';

describe('T11 extensions (aircraft maintenance manuals, TM 9-254; in line trust A, angled computed E)', () => {
  test.each([
    ['135 lbf.in, 10 and 1.5 in line', 135, 10, 1.5, 0, 117.391304],
    ['30 lbf.ft, 12 and 3 in line', 30, 12, 3, 0, 24],
    ['40 N.m, 300 and 50 mm at 45°', 40, 300, 50, 45, 35.78294],
    ['40 N.m, 300 and 50 mm at 90°: no correction', 40, 300, 50, 90, 40],
  ] as const)('%s', (_, torque, wrenchLength, extension, angleDegrees, setting) => {
    const lever = { wrenchLength, extension, angleDegrees, unit: 'mm' } as const;
    const atWrench = torqueAtWrench(rationalOfNumber(torque), lever);
    expectWithin(toNumber(atWrench), setting, 1e-6);
    expect(torqueAtRing(atWrench, lever)).toEqual(rationalOfNumber(torque));
  });
});

describe('deviation and class of a wrench (ISO 6789)', () => {
  test('42.0 shown against 40.6 is + 3.448 276 %, relative to the reference (stored text, trust B/E)', () => {
    expectWithin(wrenchDeviationPercent(42, 40.6), 3.448276, 5e-7);
  });

  test('the proposal for a class names its source and changes at 10 N.m (2003 text read, trust B; else D)', () => {
    expect(proposedWrenchLimit('II', 'A', 10)?.percent).toBe(6);
    expect(proposedWrenchLimit('II', 'A', 10.1)).toEqual({
      percent: 4,
      source: 'stored tool manual citing ISO 6789:2003',
    });
    expect(proposedWrenchLimit('II', 'Z', 100)).toBeNull();
  });

  test('calibrated at 20, 60 and 100 % (2003 text read, trust B)', () => {
    expect(wrenchTestPoints(55)).toEqual([11, 33, 55]);
  });

  test('4 % at 10 N.m asks for a step of 0.1 N.m (trade article on the 2017 edition, trust B)', () => {
    expect(isStepFineEnough(0.1, 10, 4)).toBe(true);
    expect(isStepFineEnough(0.11, 10, 4)).toBe(false);
  });
});

describe('23 N.m, 203 lbf.in and 16 lbf.ft are treated as one setting (common practice, no source)', () => {
  const band = { target: 23, lower: 21.85, upper: 24.15, unit: 'N.m' } as const;

  test('203 lbf.in agrees with 23 N.m within 0.3 %', () => {
    expectWithin(convertNumber(203, 'lbf.in', 'N.m') / 23, 1, 0.003);
  });

  test('16 lbf.ft is 5.7 % low, outside ± 5 %, and 17 is offered', () => {
    const found = taken(
      setPointOf({
        band,
        wrench: { unit: 'lbf.ft', graduation: 1 },
        equivalent: { value: 16, unit: 'lbf.ft' },
      }),
    );
    expect(found.equivalent?.deviationPercent.toFixed(1)).toBe('-5.7');
    expect(found.equivalent?.insideTolerance).toBe(false);
    expect(found.setPoint?.value).toBe(17);
    expect(found.warnings.map(({ message }) => message)).toEqual([
      '16 lbf.ft is 5.7 % low, outside the tolerance band; set 17 lbf.ft (0.2 % high) instead',
    ]);
  });

  test('203 lbf.in as equivalent raises no warning', () => {
    const found = taken(
      setPointOf({
        band,
        wrench: { unit: 'lbf.in', graduation: 1 },
        equivalent: { value: 203, unit: 'lbf.in' },
      }),
    );
    expect(found.warnings).toEqual([]);
    expect(found.setPoint?.value).toBe(204);
  });
});

describe('extras: nut factor and grease', () => {
  test('M12 at 70 % of 580 MPa with K 0.2: 34.2258 kN, 82.1419 N.m (published "about 82 N.m, 34 kN", trust A)', () => {
    const { K, As_mm2, Sp_MPa, fraction, d_mm, F_kN, T_Nm } = checkValues.public.torque.nut_factor_M12;
    const preload = preloadNewtons(fraction, As_mm2, Sp_MPa);
    expectWithin(preload / 1000, F_kN, 5e-5);
    expectWithin(torqueNewtonMetresFromPreload(K, d_mm, preload), T_Nm, 5e-5);
  });

  test('a bearing of 90 × 20 mm is relubricated with 9 g (bearing makers’ rule, trust B)', () => {
    expect(relubricationGrams(90, 20)).toBe(9);
  });

  test('consistency grades of ASTM D217’s scope note; the gaps between them belong to none (trust B)', () => {
    for (const [grade, [least, most]] of Object.entries(checkValues.public.grease.NLGI)) {
      expect(consistencyGrade(least!)).toBe(grade);
      expect(consistencyGrade(most!)).toBe(grade);
    }
    expect(consistencyGrade(300)).toBeNull();
  });

  test('0.40 of 25 cm³ at 0.9 g/cm³ is 9 g (computed, trust E)', () => {
    expectWithin(massGramsForFill(0.4, 25, 0.9), 9, 1e-14);
  });
});
