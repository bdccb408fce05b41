import { z } from 'zod';
import { sensibleNumberSchema } from '../../../shared/quantity/sensible-number.ts';
import { parseWith } from '../../../shared/schema-refusal.ts';
import {
  type Capability,
  capability,
  movingRangeEstimate,
  overallEstimate,
  type ProcessEstimate,
  pooledEstimate,
} from '../../../shared/statistics/capability.ts';
import { BadInput, badInput, type Command } from './command.ts';
import { readJsonDocument, readOnlyInput } from './json-documents.ts';

const limit = sensibleNumberSchema.nullish();
const positive = sensibleNumberSchema.refine((value) => value > 0, { message: 'must be above zero' });

const capabilityFileSchema = z
  .strictObject({
    name: z.string().max(200).optional(),
    values: z.array(sensibleNumberSchema).min(2, 'needs at least two readings').optional(),
    subgroups: z.array(z.array(sensibleNumberSchema).min(2, 'needs at least two readings')).min(1).optional(),
    mean: sensibleNumberSchema.optional(),
    standardDeviation: positive.optional(),
    sd: positive.optional(),
    n: z
      .number()
      .refine((n) => Number.isInteger(n) && n >= 2, { message: 'must be a whole number from 2' })
      .optional(),
    lower: limit,
    upper: limit,
    unit: z.string().max(30).optional(),
    confidence: z
      .number()
      .refine((p) => p > 0 && p < 1, { message: 'must lie between 0 and 1, like 0.95' })
      .optional(),
  })
  .superRefine((file, context) => {
    const { lower, upper } = file;
    if (typeof lower !== 'number' && typeof upper !== 'number') {
      context.addIssue({
        code: 'custom',
        path: ['lower'],
        message: 'missing, and upper too; give at least one specification limit',
      });
    }
    if (typeof lower === 'number' && typeof upper === 'number' && lower >= upper) {
      context.addIssue({
        code: 'custom',
        path: ['lower'],
        message: `${lower} is not below upper ${upper}; swap or correct the limits`,
      });
    }
  });
type CapabilityFile = z.infer<typeof capabilityFileSchema>;

/** Process capability and performance. */
export const capabilityCommand: Command = {
  name: 'capability',
  summary: 'Process capability Cp, Cpk and performance Pp, Ppk with confidence intervals',
  usage: '[FILE | -]',
  help: `
Reads one JSON object from FILE or standard input, in one of three shapes:

  {"values":[49.6,47.6,…],"lower":45,"upper":55,"unit":"g"}        one by one, in the order made
  {"subgroups":[[1,2,3],[2,3,4]],"lower":0,"upper":5,"unit":"g"}   subgroups
  {"mean":16,"standardDeviation":2,"n":50,"lower":8,"upper":20}    a summary; n may be missing, sd is understood

lower, upper  specification limits, one may be missing
confidence    of the intervals, 0.95 if left out

Cp and Cpk use the within-process standard deviation (mean moving range/d2, or pooled over the subgroups), Pp
and Ppk the overall one; a summary has only one, which serves both. Intervals: chi-square for Cp and Pp,
Cpk ± z·√(1/(9n) + Cpk²/(2ν)) for Cpk and Ppk.

Prints text, or with --json: n, mean, within and overall {standardDeviation, degreesOfFreedom}, Cp, Cpk, Cpu,
Cpl, k (off centre), Pp, Ppk, Ppu, Ppl, intervals {Cp, Cpk, Pp, Ppk: {lower, upper} or null}, confidence, unit.

Exit: 0 done, 2 bad input.
`,
  options: {},
  async run(input) {
    const file = parseWith(capabilityFileSchema, readJsonDocument(await readOnlyInput(input)));
    if (!file.ok) throw badInput(file.error);
    const report = reportOf(file.value);
    await input.print(input.json ? JSON.stringify(report) : inWords(report));
    return 0;
  },
};

function estimatesOf(file: CapabilityFile): { within: ProcessEstimate; overall: ProcessEstimate } {
  const given = [file.values, file.subgroups, file.mean].filter((shape) => shape !== undefined).length;
  if (given !== 1) {
    throw new BadInput(
      given === 0
        ? 'values: missing; give values, or subgroups, or mean with standardDeviation'
        : 'values: stands beside another shape; give only one of values, subgroups, mean',
    );
  }
  if (file.values !== undefined) {
    return { within: movingRangeEstimate(file.values), overall: overallEstimate(file.values) };
  }
  if (file.subgroups !== undefined) {
    return { within: pooledEstimate(file.subgroups), overall: overallEstimate(file.subgroups.flat()) };
  }
  const standardDeviation = file.standardDeviation ?? file.sd;
  if (standardDeviation === undefined) {
    throw new BadInput('standardDeviation: missing; give the standard deviation that belongs to the mean');
  }
  const summary: ProcessEstimate = {
    mean: file.mean ?? 0,
    standardDeviation,
    count: file.n ?? null,
    degreesOfFreedom: file.n === undefined ? null : file.n - 1,
  };
  return { within: summary, overall: summary };
}

function reportOf(file: CapabilityFile) {
  const { within, overall } = estimatesOf(file);
  if (!(within.standardDeviation > 0 && overall.standardDeviation > 0)) {
    throw new BadInput('values: are all alike or never change; capability needs a spread above zero');
  }
  const confidence = file.confidence ?? 0.95;
  const limits = { lower: file.lower ?? null, upper: file.upper ?? null };
  const c: Capability = capability(within, limits, confidence);
  const p: Capability = capability(overall, limits, confidence);
  const spread = ({ standardDeviation, degreesOfFreedom }: ProcessEstimate) => ({
    standardDeviation,
    degreesOfFreedom,
  });
  return {
    n: overall.count,
    mean: overall.mean,
    within: spread(within),
    overall: spread(overall),
    ...limits,
    Cp: c.spread?.value ?? null,
    Cpk: c.worst.value,
    Cpu: c.upper,
    Cpl: c.lower,
    k: c.offCentre,
    Pp: p.spread?.value ?? null,
    Ppk: p.worst.value,
    Ppu: p.upper,
    Ppl: p.lower,
    intervals: {
      Cp: c.spread?.interval ?? null,
      Cpk: c.worst.interval,
      Pp: p.spread?.interval ?? null,
      Ppk: p.worst.interval,
    },
    confidence,
    unit: file.unit ?? null,
  };
}

function inWords(report: ReturnType<typeof reportOf>): string {
  const unit = report.unit === null ? '' : ` ${report.unit}`;
  const index = (name: 'Cp' | 'Cpk' | 'Pp' | 'Ppk') => {
    const value = report[name];
    const interval = report.intervals[name];
    const range =
      interval === null
        ? ''
        : `  (${(report.confidence * 100).toFixed(0)} %: ${interval.lower.toFixed(4)} … ${interval.upper.toFixed(4)})`;
    return `${name.padEnd(4)} ${value === null ? 'needs both limits' : value.toFixed(4)}${range}`;
  };
  return [
    `n ${report.n ?? 'not given'}, mean ${Number(report.mean.toPrecision(8))}${unit}, s within ${Number(report.within.standardDeviation.toPrecision(6))}${unit}, s overall ${Number(report.overall.standardDeviation.toPrecision(6))}${unit}`,
    index('Cp'),
    index('Cpk'),
    index('Pp'),
    index('Ppk'),
  ].join('\n');
}
