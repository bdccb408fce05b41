import { z } from 'zod';
import { conversionFactor } from '../quantity/conversion.ts';
import { rationalOfNumber } from '../quantity/decimal-text.ts';
import { add, multiply, type Rational, toNumber, zero } from '../quantity/rational.ts';
import { quantityOf, quantitySchema, type Unit } from '../quantity/unit.ts';
import { unitOfText } from '../quantity/unit-text.ts';
import { ok, type Result, refuse } from '../result.ts';
import { coverageFactor } from '../statistics/distributions.ts';
import {
  type Cause,
  type Contribution,
  completeContribution,
  contributionSchema,
  degreesOfFreedomOf,
  type Knowledge,
  standardUncertaintyOf,
} from './contribution.ts';
import type { ExpandedUncertainty } from './uncertainty.ts';

/** The probability that k = 2 covers of a normal distribution, to the digits that the GUM prints. */
export const usualCoverageProbability = 0.9545; // JCGM 100:2008, G.1.3 and Table G.2

/** How the expanded uncertainty is drawn from the combined one: a fixed factor, or t for a probability. */
export type Coverage = { readonly k: number } | { readonly coverageProbability: number };

/** One evaluated line. `u` is in `unit`, `contribution` = |sensitivity| · u in the budget's unit. */
export interface BudgetLine {
  readonly name: string;
  readonly cause: Cause;
  readonly kind: Knowledge['kind'];
  /** The budget's unit where it measures the same quantity, else the contribution's own. */
  readonly unit: string;
  readonly u: number;
  readonly sensitivity: number;
  readonly contribution: number;
  /** Part of the combined variance, 0 to 1. */
  readonly share: number;
  /** `null`: infinitely many. */
  readonly degreesOfFreedom: number | null;
  readonly source?: string;
}

/** An evaluated uncertainty budget (JCGM 200:2012, 2.33). */
export interface Budget<BudgetUnit extends string = Unit> {
  readonly unit: BudgetUnit;
  readonly contributions: readonly BudgetLine[];
  /** Combined standard uncertainty. */
  readonly combined: number;
  /** Effective degrees of freedom (Welch-Satterthwaite); `null`: infinitely many. */
  readonly degreesOfFreedom: number | null;
  /** `null` where k was given. */
  readonly coverageProbability: number | null;
  readonly k: number;
  readonly expanded: number;
  /** Sum of sensitivity times estimate, where every estimate was given or only some have one. */
  readonly value?: number;
}

/** `coverageProbability` and `k` may both be left out: 95.45 % by Student's t. */
export const budgetFileSchema = z
  .strictObject({
    name: z.string().max(200).optional(),
    /** mass and torque are checked against the unit; another word is left alone, with a unit of its own. */
    quantity: z.string().max(60).optional(),
    unit: z.string().min(1).max(30),
    contributions: z.array(contributionSchema).min(1, 'is empty; give at least one contribution'),
    coverageProbability: z
      .number()
      .refine((p) => p > 0 && p < 1, { message: 'must lie between 0 and 1, like 0.9545' })
      .optional(),
    k: z
      .number()
      .refine((k) => k > 0, { message: 'must be above zero' })
      .optional(),
    source: z.string().max(300).optional(),
  })
  .refine(({ k, coverageProbability }) => k === undefined || coverageProbability === undefined, {
    path: ['k'],
    message: 'stands beside coverageProbability; give only one of them',
  });
export type BudgetFile = z.infer<typeof budgetFileSchema>;

/** Evaluates the budget of a file. A unit that is none of ours is taken as it stands. */
export function evaluateBudgetFile(file: BudgetFile): Result<Budget<string>> {
  const known = unitOfText(file.unit);
  const isOurs = quantitySchema.safeParse(file.quantity).success;
  if (file.quantity !== undefined && (known === null ? isOurs : quantityOf(known) !== file.quantity)) {
    return refuse(
      'mixed_quantities',
      'unit',
      `${file.unit} does not measure ${file.quantity}; correct one of them`,
    );
  }
  const unit = known ?? file.unit;
  const coverage: Coverage =
    file.k === undefined
      ? { coverageProbability: file.coverageProbability ?? usualCoverageProbability }
      : { k: file.k };
  return evaluateBudget(
    file.contributions.map((contribution) => completeContribution(contribution, unit)),
    unit,
    coverage,
  );
}

/**
 * Combines uncorrelated contributions (GUM 5.1.2): u_c² = Σ (c·u)², effective degrees of freedom after
 * Welch-Satterthwaite (G.4.1), k from Student's t at the next lower whole number of them (G.6.4). Refuses a
 * contribution whose unit cannot be carried over, and a budget of zero.
 */
export function evaluateBudget<BudgetUnit extends string>(
  contributions: readonly Contribution[],
  unit: BudgetUnit,
  coverage: Coverage = { coverageProbability: usualCoverageProbability },
): Result<Budget<BudgetUnit>> {
  const lines: Omit<BudgetLine, 'share'>[] = [];
  for (const [index, contribution] of contributions.entries()) {
    const line = evaluateLine(contribution, unit, index);
    if (!line.ok) return line;
    lines.push(line.value);
  }
  const variance = sumInOrder(lines.map((line) => line.contribution ** 2));
  if (!(variance > 0 && Number.isFinite(variance))) {
    return refuse(
      'no_uncertainty',
      'contributions',
      'together give no uncertainty above zero; enter what the certificate and the data sheet say',
    );
  }
  const combined = Math.sqrt(variance);
  const degreesOfFreedom = effectiveDegreesOfFreedom(lines, combined);
  const probability = 'k' in coverage ? null : coverage.coverageProbability;
  const whole = degreesOfFreedom === null ? null : Math.max(1, Math.floor(degreesOfFreedom + 1e-9));
  const k = 'k' in coverage ? coverage.k : coverageFactor(coverage.coverageProbability, whole);
  const value = summedEstimates(contributions, unit);
  return ok({
    unit,
    contributions: lines.map((line) => ({ ...line, share: line.contribution ** 2 / variance })),
    combined,
    degreesOfFreedom,
    coverageProbability: probability,
    k,
    expanded: k * combined,
    ...(value === null ? {} : { value: toNumber(value) }),
  });
}

/** The result of a budget as a judgement wants it. */
export function expandedUncertaintyOf(budget: Budget): ExpandedUncertainty {
  return { expanded: budget.expanded, k: budget.k, unit: budget.unit };
}

function evaluateLine(
  contribution: Contribution,
  budgetUnit: string,
  index: number,
): Result<Omit<BudgetLine, 'share'>> {
  const factor = factorBetween(contribution.unit, budgetUnit);
  if (factor === null && contribution.sensitivity === undefined) {
    return refuse(
      'mixed_quantities',
      `contributions[${index}].unit`,
      `${contribution.unit} cannot be turned into ${budgetUnit}; correct it, or give sensitivity in ${budgetUnit} per ${contribution.unit}`,
    );
  }
  const own = standardUncertaintyOf(contribution);
  const u = factor === null ? own : scale(own, factor);
  const sensitivity = contribution.sensitivity ?? 1;
  return ok({
    name: contribution.name,
    cause: contribution.cause,
    kind: contribution.kind,
    unit: factor === null ? contribution.unit : budgetUnit,
    u,
    sensitivity,
    contribution: Math.abs(sensitivity) * u,
    degreesOfFreedom: degreesOfFreedomOf(contribution),
    ...(contribution.source === undefined ? {} : { source: contribution.source }),
  });
}

/** Exact factor from one unit to another; one for equal texts; `null` where there is none. */
function factorBetween(from: string, to: string): Rational | null {
  const fromUnit = unitOfText(from);
  const toUnit = unitOfText(to);
  if (fromUnit !== null && toUnit !== null) return conversionFactor(fromUnit, toUnit);
  return from === to ? rationalOfNumber(1) : null;
}

/** One correctly rounded multiplication, none where the factor is one. */
function scale(value: number, factor: Rational): number {
  return toNumber(multiply(rationalOfNumber(value), factor));
}

/** A sum that does not depend on the order given: smallest first. */
function sumInOrder(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b).reduce((sum, value) => sum + value, 0);
}

function effectiveDegreesOfFreedom(
  lines: readonly Pick<BudgetLine, 'contribution' | 'degreesOfFreedom'>[],
  combined: number,
): number | null {
  const terms = lines.flatMap(({ contribution, degreesOfFreedom }) =>
    degreesOfFreedom === null ? [] : [(contribution / combined) ** 4 / degreesOfFreedom],
  );
  const sum = sumInOrder(terms);
  return sum > 0 && Number.isFinite(1 / sum) ? 1 / sum : null;
}

function summedEstimates(contributions: readonly Contribution[], unit: string): Rational | null {
  const terms = contributions.flatMap((contribution) => {
    if (contribution.estimate === undefined) return [];
    const factor = factorBetween(contribution.unit, unit) ?? rationalOfNumber(1);
    const sensitivity = rationalOfNumber(contribution.sensitivity ?? 1);
    return [multiply(multiply(rationalOfNumber(contribution.estimate), factor), sensitivity)];
  });
  return terms.length === 0 ? null : terms.reduce(add, zero);
}
