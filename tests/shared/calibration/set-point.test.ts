import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { judge } from '../../../shared/acceptance/judgement.ts';
import { type SetPointRequest, setPointOf } from '../../../shared/calibration/set-point.ts';

const band = { target: 27, lower: 25.92, upper: 28.08, unit: 'N.m' } as const;

function found(request: SetPointRequest) {
  const result = setPointOf(request);
  if (!result.ok) throw new Error(`${result.error.field}: ${result.error.message}`);
  return result.value;
}

describe('the set-point of a click wrench', () => {
  test('goes through the extension to the wrench’s own graduation', () => {
    const setPoint = found({
      band,
      wrench: { unit: 'N.m', graduation: 0.5 },
      lever: { wrenchLength: 300, extension: 50, angleDegrees: 0, unit: 'mm' },
    });
    expect(setPoint.unrounded.value).toBeCloseTo((27 * 300) / 350, 12);
    expect(setPoint.setPoint?.text).toBe('23');
    expect(setPoint.setPoint?.atRing.value).toBeCloseTo((23 * 350) / 300, 12);
    expect(setPoint.warnings).toEqual([]);
  });

  test('when rounding leaves the zone, the nearest graduation inside is offered', () => {
    // The band lies askew: the target 20.4 rounds to 20, which is below it.
    const setPoint = found({
      band: { target: 20.4, lower: 20.3, upper: 21.2, unit: 'N.m' },
      wrench: { unit: 'N.m', graduation: 1 },
    });
    expect(setPoint.rounded).toMatchObject({ value: 20, insideAcceptance: false });
    expect(setPoint.setPoint?.value).toBe(21);
    expect(setPoint.warnings).toEqual([
      {
        code: 'rounded_outside',
        message:
          'rounded to 20 N.m it is 2.0 % low, outside the tolerance band; set 21 N.m (2.9 % high) instead',
      },
    ]);
  });

  test('the uncertainty narrows what may be set', () => {
    const setPoint = found({
      band,
      uncertainty: { expanded: 1, k: 2, unit: 'N.m' },
      wrench: { unit: 'lbf.ft', graduation: 5 },
    });
    expect(setPoint.acceptance).toEqual({ lower: 26.92, upper: 27.08 });
    expect(setPoint.rounded).toMatchObject({ value: 20, insideTolerance: true, insideAcceptance: false });
    expect(setPoint.setPoint).toBeNull();
    expect(setPoint.warnings[0]?.message).toContain('use another wrench');
  });

  test('no zone at all is said in words', () => {
    const setPoint = found({
      band,
      uncertainty: { expanded: 1.2, k: 2, unit: 'N.m' },
      wrench: { unit: 'lbf.ft', graduation: 1 },
    });
    expect(setPoint.acceptance).toBeNull();
    expect(setPoint.warnings).toEqual([
      { code: 'no_acceptance_zone', message: 'no acceptance zone: this instrument cannot show it' },
    ]);
  });

  test('a wrench whose scale ends too early has no set-point', () => {
    const setPoint = found({ band, wrench: { unit: 'N.m', graduation: 1, minimum: 5, maximum: 25 } });
    expect(setPoint.setPoint).toBeNull();
    expect(setPoint.warnings.map(({ code }) => code)).toEqual(['no_graduation']);
  });

  test('what is offered is on a graduation and passes the judgement; nothing nearer does', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 100, max: 10_000 }),
        fc.integer({ min: 1, max: 2000 }),
        fc.integer({ min: 1, max: 400 }),
        fc.constantFrom(0.1, 0.5, 1, 2, 5),
        fc.constantFrom('lbf.ft', 'lbf.in', 'N.m'),
        (lowerHundredths, widthHundredths, expandedHundredths, graduation, unit) => {
          const limits = {
            lower: lowerHundredths / 100,
            upper: (lowerHundredths + widthHundredths) / 100,
            unit: 'N.m' as const,
          };
          const uncertainty = { expanded: expandedHundredths / 100, k: 2, unit: 'N.m' as const };
          const rule = { kind: 'guarded' as const, factor: 1, source: 'test' };
          const { setPoint, unrounded } = found({
            band: limits,
            uncertainty,
            rule,
            wrench: { unit, graduation },
          });
          const passes = (value: number) => {
            const judgement = judge({
              quantity: 'torque',
              reading: { value, unit },
              band: limits,
              uncertainty,
              rule,
            });
            return judgement.ok && judgement.value.decision === 'pass';
          };
          const graduations = [-2, -1, 0, 1, 2].map((step) =>
            Number(((Math.round(unrounded.value / graduation) + step) * graduation).toFixed(1)),
          );
          if (setPoint === null) {
            expect(graduations.some((value) => value > 0 && passes(value))).toBe(false);
            return;
          }
          expect(passes(setPoint.value)).toBe(true);
          expect(Number.isInteger(Number((setPoint.value / graduation).toFixed(9)))).toBe(true);
          const distance = Math.abs(setPoint.value - unrounded.value);
          for (const value of graduations) {
            if (passes(value))
              expect(Math.abs(value - unrounded.value)).toBeGreaterThanOrEqual(distance - 1e-9);
          }
        },
      ),
    );
  });

  test.each<[string, SetPointRequest, string]>([
    [
      'a mass',
      { band: { lower: 1, upper: 2, unit: 'g' }, wrench: { unit: 'N.m', graduation: 1 } },
      'band.unit',
    ],
    ['a wrench in grams', { band, wrench: { unit: 'g', graduation: 1 } }, 'wrench.unit'],
    [
      'a band without target or middle',
      { band: { lower: 1, unit: 'N.m' }, wrench: { unit: 'N.m', graduation: 1 } },
      'band.target',
    ],
    [
      'a target of zero',
      { band: { lower: -1, upper: 1, unit: 'N.m' }, wrench: { unit: 'N.m', graduation: 1 } },
      'band.target',
    ],
    [
      'a rule without uncertainty',
      { band, rule: { kind: 'guarded', factor: 1, source: 'x' }, wrench: { unit: 'N.m', graduation: 1 } },
      'uncertainty',
    ],
    [
      'a scale the wrong way round',
      { band, wrench: { unit: 'N.m', graduation: 1, minimum: 5, maximum: 4 } },
      'wrench.minimum',
    ],
  ])('refuses %s', (_, request, field) => {
    expect(setPointOf(request)).toMatchObject({ ok: false, error: { field } });
  });
});
