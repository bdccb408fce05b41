import { z } from 'zod';
import { sensibleNumberSchema } from '../quantity/sensible-number.ts';

/** What a contribution comes from: words for tables and bars. */
export const causes = [
  'certificate',
  'drift',
  'resolution',
  'repeatability',
  'maximum permissible error',
  'linearity',
  'geometry',
  'buoyancy',
  'other',
] as const;
export type Cause = (typeof causes)[number];

/** Infinitely many where left out. */
interface Freedom {
  readonly degreesOfFreedom?: number | undefined;
}

/** How the standard uncertainty of a contribution follows from what is known of it. */
export type Knowledge =
  /** Expanded uncertainty with its coverage factor: u = U/k (GUM 4.3.3). */
  | ({ readonly kind: 'normal'; readonly expanded: number; readonly k: number } & Freedom)
  /**
   * Within ± halfWidth: equally likely, u = halfWidth/√3 (GUM 4.3.7); likeliest at the centre, /√6 (4.3.9);
   * swinging between the ends, /√2 (H.1.3.4).
   */
  | ({ readonly kind: 'rectangular' | 'triangular' | 'arcsine'; readonly halfWidth: number } & Freedom)
  /**
   * Standard deviation s of `n` readings; the result is the mean of `meanOf` of them (n where left out, 1
   * without n): u = s/√meanOf, ν = n − 1 (GUM 4.2).
   */
  | ({
      readonly kind: 'typeA';
      readonly standardDeviation: number;
      readonly n?: number | undefined;
      readonly meanOf?: number | undefined;
    } & Freedom)
  /** Digital step d: u = d/√12 for each of `readings` (GUM F.2.2.1); net = gross − tare has two. */
  | { readonly kind: 'resolution'; readonly resolution: number; readonly readings?: number | undefined }
  /** Standard uncertainty as it is. */
  | ({ readonly kind: 'standard'; readonly u: number } & Freedom);

/** One line of an uncertainty budget. */
export type Contribution = Knowledge & {
  readonly name: string;
  readonly cause: Cause;
  /** A unit of the budget's quantity, or any text (`mm`, `degree`) that `sensitivity` carries over. */
  readonly unit: string;
  /** Partial derivative of the measurand, in budget units per contribution unit; 1 where left out. */
  readonly sensitivity?: number | undefined;
  /** The value itself in `unit`, where the measurand is the sum of sensitivity times value. */
  readonly estimate?: number | undefined;
  readonly source?: string | undefined;
};

/** Standard uncertainty of a contribution in its own unit. */
export function standardUncertaintyOf(knowledge: Knowledge): number {
  switch (knowledge.kind) {
    case 'normal':
      return knowledge.expanded / knowledge.k;
    case 'rectangular':
      return knowledge.halfWidth / Math.sqrt(3);
    case 'triangular':
      return knowledge.halfWidth / Math.sqrt(6);
    case 'arcsine':
      return knowledge.halfWidth / Math.SQRT2;
    case 'typeA':
      return knowledge.standardDeviation / Math.sqrt(knowledge.meanOf ?? knowledge.n ?? 1);
    case 'resolution':
      return knowledge.resolution * Math.sqrt((knowledge.readings ?? 1) / 12);
    case 'standard':
      return knowledge.u;
  }
}

/** Degrees of freedom of a contribution; `null` stands for infinitely many. */
export function degreesOfFreedomOf(knowledge: Knowledge): number | null {
  if (knowledge.kind === 'resolution') return null;
  if (knowledge.degreesOfFreedom !== undefined) return knowledge.degreesOfFreedom;
  return knowledge.kind === 'typeA' && knowledge.n !== undefined ? knowledge.n - 1 : null;
}

/** Degrees of freedom of a standard uncertainty that is itself known to a fraction: 0.25 gives 8 (GUM G.4.2). */
export function degreesOfFreedomOfReliability(relativeUncertainty: number): number {
  return 0.5 / (relativeUncertainty * relativeUncertainty);
}

const positive = sensibleNumberSchema.refine((value) => value > 0, { message: 'must be above zero' });
const notNegative = sensibleNumberSchema.refine((value) => value >= 0, { message: 'must be zero or more' });
const count = z.number().refine((value) => Number.isInteger(value) && value >= 1, {
  message: 'must be a whole number from 1',
});
const severalReadings = z.number().refine((n) => Number.isInteger(n) && n >= 2, {
  message: 'must be a whole number from 2; one reading has no standard deviation',
});

const common = {
  name: z.string().min(1).max(120).optional(),
  unit: z.string().min(1).max(30).optional(),
  cause: z.enum(causes).optional(),
  sensitivity: sensibleNumberSchema.optional(),
  estimate: sensibleNumberSchema.optional(),
  source: z.string().max(300).optional(),
};
const freedom = { degreesOfFreedom: positive.optional() };

/** Causes that may stand as `kind`, with the knowledge that one usually has of them. */
const kindOfCause: Readonly<Record<string, Knowledge['kind']>> = {
  certificate: 'normal',
  drift: 'rectangular',
  repeatability: 'typeA',
  'maximum permissible error': 'rectangular',
  linearity: 'rectangular',
  geometry: 'rectangular',
  buoyancy: 'rectangular',
};

function spellOutCause(input: unknown): unknown {
  if (typeof input !== 'object' || input === null || !('kind' in input)) return input;
  const cause = input.kind;
  if (typeof cause !== 'string' || !Object.hasOwn(kindOfCause, cause)) return input;
  return { cause, ...input, kind: kindOfCause[cause] };
}

const knowledgeSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('normal'), ...common, ...freedom, expanded: notNegative, k: positive }),
  z.strictObject({ kind: z.literal('rectangular'), ...common, ...freedom, halfWidth: notNegative }),
  z.strictObject({ kind: z.literal('triangular'), ...common, ...freedom, halfWidth: notNegative }),
  z.strictObject({ kind: z.literal('arcsine'), ...common, ...freedom, halfWidth: notNegative }),
  z.strictObject({
    kind: z.literal('typeA'),
    ...common,
    ...freedom,
    standardDeviation: notNegative,
    n: severalReadings.optional(),
    meanOf: count.optional(),
  }),
  z.strictObject({
    kind: z.literal('resolution'),
    ...common,
    resolution: positive,
    readings: count.optional(),
  }),
  z.strictObject({ kind: z.literal('standard'), ...common, ...freedom, u: notNegative }),
]);

/** A contribution in a file: name, unit, cause and sensitivity may be left out, a cause may stand as kind. */
export const contributionSchema = z.preprocess(spellOutCause, knowledgeSchema);
export type ContributionInFile = z.infer<typeof contributionSchema>;

const usualCause: Readonly<Partial<Record<Knowledge['kind'], Cause>>> = {
  normal: 'certificate',
  typeA: 'repeatability',
  resolution: 'resolution',
};

/** Fills in what a file left out: the budget's unit, a cause by kind, a name by cause. */
export function completeContribution(inFile: ContributionInFile, budgetUnit: string): Contribution {
  const cause = inFile.cause ?? usualCause[inFile.kind] ?? 'other';
  return {
    ...inFile,
    cause,
    name: inFile.name ?? (cause === 'other' ? inFile.kind : cause),
    unit: inFile.unit ?? budgetUnit,
  };
}
