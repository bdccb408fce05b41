import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { budgetFileSchema, evaluateBudget, evaluateBudgetFile } from '../../../shared/acceptance/budget.ts';
import type { Contribution } from '../../../shared/acceptance/contribution.ts';

const sized = fc.double({ min: 1e-6, max: 1e6, noNaN: true });
const contribution: fc.Arbitrary<Contribution> = fc
  .tuple(
    sized,
    fc.option(fc.integer({ min: 1, max: 50 }), { nil: undefined }),
    fc.constantFrom('g', 'mg', 'kg', 'oz'),
  )
  .map(([u, degreesOfFreedom, unit]) => ({
    kind: 'standard',
    u,
    degreesOfFreedom,
    name: 'input',
    cause: 'other',
    unit,
  }));

function evaluated(contributions: readonly Contribution[]) {
  const budget = evaluateBudget(contributions, 'g');
  if (!budget.ok) throw new Error(budget.error.message);
  return budget.value;
}

describe('an uncertainty budget', () => {
  test('does not depend on the order of its contributions, to the last bit', () => {
    fc.assert(
      fc.property(fc.array(contribution, { minLength: 1, maxLength: 12 }), (contributions) => {
        const forward = evaluated(contributions);
        const backward = evaluated([...contributions].reverse());
        expect(backward.combined).toBe(forward.combined);
        expect(backward.degreesOfFreedom).toBe(forward.degreesOfFreedom);
        expect(backward.expanded).toBe(forward.expanded);
      }),
    );
  });

  test('never gets smaller by one more contribution, and shares add up to one', () => {
    fc.assert(
      fc.property(
        fc.array(contribution, { minLength: 1, maxLength: 8 }),
        contribution,
        (contributions, more) => {
          const before = evaluated(contributions);
          const after = evaluated([...contributions, more]);
          expect(after.combined).toBeGreaterThanOrEqual(before.combined);
          expect(after.contributions.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
        },
      ),
    );
  });

  test('has effective degrees of freedom between the least and the sum of its contributions’', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(sized, fc.integer({ min: 1, max: 50 })), { minLength: 1, maxLength: 8 }),
        (inputs) => {
          const budget = evaluated(
            inputs.map(([u, degreesOfFreedom]) => ({
              kind: 'standard',
              u,
              degreesOfFreedom,
              name: 'input',
              cause: 'other',
              unit: 'g',
            })),
          );
          const freedoms = inputs.map(([, freedom]) => freedom);
          const sum = freedoms.reduce((total, freedom) => total + freedom, 0);
          expect(budget.degreesOfFreedom).toBeGreaterThanOrEqual(Math.min(...freedoms) * (1 - 1e-12));
          expect(budget.degreesOfFreedom).toBeLessThanOrEqual(sum * (1 + 1e-12));
        },
      ),
    );
  });
});

function fromFile(file: unknown) {
  const parsed = budgetFileSchema.parse(file);
  const budget = evaluateBudgetFile(parsed);
  if (!budget.ok) throw new Error(budget.error.message);
  return budget.value;
}

describe('a budget file', () => {
  test('carries a length over to a torque by its sensitivity', () => {
    const budget = fromFile({
      unit: 'N.m',
      k: 2,
      contributions: [{ kind: 'rectangular', halfWidth: 2, unit: 'mm', sensitivity: -0.11, name: 'length' }],
    });
    expect(budget.combined).toBeCloseTo((0.11 * 2) / Math.sqrt(3), 14);
    expect(budget.contributions[0]?.unit).toBe('mm');
  });

  test('takes a cause for a kind', () => {
    const budget = fromFile({
      unit: 'g',
      contributions: [
        { kind: 'certificate', expanded: 0.2, k: 2 },
        { kind: 'drift', halfWidth: 0.1 },
        { kind: 'repeatability', standardDeviation: 0.05, n: 10, meanOf: 1 },
        { kind: 'maximum permissible error', halfWidth: 0.1 },
        { kind: 'resolution', resolution: 0.1 },
      ],
    });
    expect(budget.contributions.map(({ name, kind }) => [name, kind])).toEqual([
      ['certificate', 'normal'],
      ['drift', 'rectangular'],
      ['repeatability', 'typeA'],
      ['maximum permissible error', 'rectangular'],
      ['resolution', 'resolution'],
    ]);
    expect(budget.contributions[2]).toMatchObject({ u: 0.05, degreesOfFreedom: 9 });
  });

  test('with infinitely many degrees of freedom has k = 2 at 95.45 %', () => {
    const budget = fromFile({ unit: 'g', contributions: [{ kind: 'standard', u: 1 }] });
    expect(budget.degreesOfFreedom).toBeNull();
    expect(budget.k).toBeCloseTo(2, 4);
  });

  test('of another quantity is taken in its own unit', () => {
    const budget = fromFile({
      quantity: 'length',
      unit: 'nm',
      k: 2,
      contributions: [{ kind: 'standard', u: 25 }],
    });
    expect(budget).toMatchObject({ unit: 'nm', combined: 25, expanded: 50 });
    const torqueInNanometres = {
      quantity: 'torque',
      unit: 'nm',
      contributions: [{ kind: 'standard' as const, u: 25 }],
    };
    expect(evaluateBudgetFile(budgetFileSchema.parse(torqueInNanometres))).toMatchObject({ ok: false });
  });

  test('refuses a unit that cannot be carried over, and a budget of nothing', () => {
    const file = { unit: 'N.m', contributions: [{ kind: 'rectangular' as const, halfWidth: 2, unit: 'mm' }] };
    expect(evaluateBudgetFile(budgetFileSchema.parse(file))).toMatchObject({
      ok: false,
      error: { field: 'contributions[0].unit', code: 'mixed_quantities' },
    });
    const nothing = { unit: 'g', contributions: [{ kind: 'drift' as const, halfWidth: 0 }] };
    expect(evaluateBudgetFile(budgetFileSchema.parse(nothing))).toMatchObject({
      ok: false,
      error: { code: 'no_uncertainty' },
    });
  });
});
