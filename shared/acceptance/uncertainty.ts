import { z } from 'zod';
import { rationalOfNumber } from '../quantity/decimal-text.ts';
import { divide, type Rational } from '../quantity/rational.ts';
import { sensibleNumberSchema } from '../quantity/sensible-number.ts';
import type { Unit } from '../quantity/unit.ts';
import { spelledUnitSchema } from '../quantity/unit-text.ts';
import { type Refusal, type Result, refuse } from '../result.ts';

/** Expanded uncertainty U = k·u (JCGM 200:2012, 2.35) with its coverage factor k. */
export interface ExpandedUncertainty {
  readonly expanded: number;
  readonly k: number;
  readonly unit: Unit;
}

const why =
  'must be above zero; no instrument is free of uncertainty, so give U of the certificate or of the budget';

/** What is wrong with an uncertainty, or `null`. */
export function uncertaintyFault(uncertainty: ExpandedUncertainty): Refusal | null {
  const { expanded, k } = uncertainty;
  if (!(Number.isFinite(expanded) && expanded > 0)) {
    return { code: 'uncertainty_not_positive', field: 'expanded', message: `${why} (given: ${expanded})` };
  }
  if (!(Number.isFinite(k) && k > 0)) {
    return {
      code: 'coverage_factor_not_positive',
      field: 'k',
      message: `must be above zero; give the coverage factor that belongs to the expanded uncertainty, often 2 (given: ${k})`,
    };
  }
  return null;
}

const expandedForm = z.strictObject({
  expanded: sensibleNumberSchema,
  k: sensibleNumberSchema,
  unit: spelledUnitSchema,
});
const standardForm = z.strictObject({ standard: sensibleNumberSchema, unit: spelledUnitSchema });

/** `{"expanded":0.3,"k":2,"unit":"N.m"}`, or a standard uncertainty `{"standard":0.15,"unit":"N.m"}`. */
export const expandedUncertaintySchema = z
  .union([expandedForm, standardForm])
  .transform((input, context): ExpandedUncertainty => {
    const isStandard = 'standard' in input;
    const uncertainty = isStandard
      ? { expanded: input.standard, k: 1, unit: input.unit }
      : { expanded: input.expanded, k: input.k, unit: input.unit };
    const fault = uncertaintyFault(uncertainty);
    if (fault !== null) {
      const field = isStandard && fault.field === 'expanded' ? 'standard' : fault.field;
      context.addIssue({ code: 'custom', path: [field], message: fault.message });
      return z.NEVER;
    }
    return uncertainty;
  });

/** u = U/k exactly, in the uncertainty's own unit. */
export function standardUncertainty(uncertainty: ExpandedUncertainty): Rational {
  return divide(rationalOfNumber(uncertainty.expanded), rationalOfNumber(uncertainty.k));
}

/** The uncertainty itself as a result, or the refusal with `prefix` before the field. */
export function checkUncertainty(
  uncertainty: ExpandedUncertainty,
  prefix = 'uncertainty',
): Result<ExpandedUncertainty> {
  const fault = uncertaintyFault(uncertainty);
  return fault === null
    ? { ok: true, value: uncertainty }
    : refuse(fault.code, `${prefix}.${fault.field}`, fault.message);
}
