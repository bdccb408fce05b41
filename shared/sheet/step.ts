import { z } from 'zod';
import { bandSchema } from '../acceptance/band.ts';
import { decisionRuleSchema } from '../acceptance/rule.ts';
import { identifierSchema } from '../identifier.ts';
import { roleSchema } from '../people/role.ts';
import { torqueUnitSchema } from '../quantity/unit.ts';
import { cautionSchema } from './caution.ts';
import { localizedTextSchema } from './localized-text.ts';

export const pictureTypes = ['image/png', 'image/jpeg', 'image/svg+xml'] as const;
/** In base64. */
export const longestPicture = 600_000;

/** A picture inside the sheet, so that the sheet's hash covers it. */
export const pictureSchema = z.strictObject({
  mediaType: z.enum(pictureTypes),
  base64: z.base64().max(longestPicture),
  description: localizedTextSchema,
});
export type Picture = z.infer<typeof pictureSchema>;

const common = {
  stepId: identifierSchema,
  title: localizedTextSchema,
  /** Mandatory steps must be passed or conceded before release. */
  mandatory: z.boolean(),
  cautions: z.array(cautionSchema),
  /** Steps that must be finished first. Left out: the step before in the list. `[]`: at any time. */
  after: z.array(identifierSchema).optional(),
  picture: pictureSchema.optional(),
};

const measured = {
  band: bandSchema,
  rule: decisionRuleSchema,
  /** Captures allowed before a lead must concede or reopen. */
  maximumAttempts: z.int().min(1).max(20),
  /** True: `conditional pass` finishes the step. Left out: false, it takes a lead's concession. */
  acceptConditionalPass: z.boolean().optional(),
};

export const cautionStepSchema = z.strictObject({
  ...common,
  kind: z.literal('caution'),
  text: localizedTextSchema,
});
export const instructionStepSchema = z.strictObject({
  ...common,
  kind: z.literal('instruction'),
  text: localizedTextSchema,
});
export const checkStepSchema = z.strictObject({
  ...common,
  kind: z.literal('check'),
  question: localizedTextSchema,
  /** `stop`: a no stands until it is answered yes or conceded. `note`: a no is only written down. */
  onFail: z.enum(['stop', 'note']),
});
export const partChoiceSchema = z.enum(['reuse', 'replace', 'scrap']);
export type PartChoice = z.infer<typeof partChoiceSchema>;
export const dispositionStepSchema = z.strictObject({
  ...common,
  kind: z.literal('disposition'),
  part: localizedTextSchema,
  choices: z.array(partChoiceSchema).min(1).max(3),
  reasonRequiredFor: z.array(partChoiceSchema),
});
export const consumableStepSchema = z.strictObject({
  ...common,
  kind: z.literal('consumable'),
  consumableId: identifierSchema,
  name: localizedTextSchema,
  lotRequired: z.boolean(),
  /** What one use takes from the lot, in the lot's own unit, when it is not entered or weighed. */
  quantity: z.number().positive().optional(),
});
export const fillMethods = ['dish', 'difference', 'housing', 'direct'] as const;
export const massStepSchema = z.strictObject({
  ...common,
  ...measured,
  kind: z.literal('mass'),
  /** What is filled and what is kept clear, shown beside the live mass. */
  text: localizedTextSchema.optional(),
  /** dish: weighed out; difference: tube before and after; housing: head on the scale; direct: as indicated. */
  method: z.enum(fillMethods),
  tare: z.enum(['none', 'instrument', 'station']),
  /** Grease that stays on dish and tool and does not reach the head. */
  residueLossGrams: z.number().nonnegative().optional(),
  buoyancy: z
    .strictObject({
      /** False: the effect is shown. True: the indication is corrected. */
      apply: z.boolean(),
      materialDensityKilogramsPerCubicMetre: z.number().positive(),
      /** Left out: 1.2, the conventional value. */
      airDensityKilogramsPerCubicMetre: z.number().positive().optional(),
    })
    .optional(),
  /** The consumable that is filled; its lot is named in an earlier consumable step. */
  consumableId: identifierSchema.optional(),
});
export const leverSchema = z.strictObject({
  wrenchLength: z.number().positive(),
  extension: z.number().nonnegative(),
  angleDegrees: z.number().min(0).max(180),
  unit: z.enum(['mm', 'in']),
  /** Half-width within which each length is known. */
  lengthsUncertainty: z.number().nonnegative(),
});
export type Lever = z.infer<typeof leverSchema>;
export const finalPullRules = ['last', 'first after threshold', 'highest'] as const;
export type FinalPullRule = (typeof finalPullRules)[number];
export const torqueStepSchema = z.strictObject({
  ...common,
  ...measured,
  kind: z.literal('torque'),
  text: localizedTextSchema.optional(),
  /** Adapter or extension between the wrench and the ring. */
  lever: leverSchema.optional(),
  /** Which pull of several is the one that is judged. Every pull is kept. */
  finalPull: z.enum(finalPullRules),
  /** A pull counts from here on. */
  pullThreshold: z.strictObject({ value: z.number().positive(), unit: torqueUnitSchema }).optional(),
  direction: z.enum(['clockwise', 'counter-clockwise']).optional(),
});
export const numericStepSchema = z.strictObject({
  ...common,
  kind: z.literal('numeric'),
  label: localizedTextSchema,
  /** Unit as printed, for example `°C` or `dB(A)`. */
  unit: z.string().min(1).max(20),
  lower: z.number().optional(),
  upper: z.number().optional(),
  /** Most decimals that a person may type. */
  decimals: z.int().min(0).max(6).optional(),
  maximumAttempts: z.int().min(1).max(20),
});
export const noteStepSchema = z.strictObject({
  ...common,
  kind: z.literal('note'),
  prompt: localizedTextSchema,
});
export const signOffStepSchema = z.strictObject({
  ...common,
  kind: z.literal('signOff'),
  statement: localizedTextSchema,
  roles: z.array(roleSchema).min(1),
});

/** One step of a service sheet. `signOff` re-enters the PIN. */
export const stepSchema = z.discriminatedUnion('kind', [
  cautionStepSchema,
  instructionStepSchema,
  checkStepSchema,
  dispositionStepSchema,
  consumableStepSchema,
  massStepSchema,
  torqueStepSchema,
  numericStepSchema,
  noteStepSchema,
  signOffStepSchema,
]);
export type Step = z.infer<typeof stepSchema>;
export type StepKind = Step['kind'];
export type StepOf<Kind extends StepKind> = Extract<Step, { kind: Kind }>;
export type MassStep = StepOf<'mass'>;
export type TorqueStep = StepOf<'torque'>;
/** A step whose value comes from an instrument and is judged against a band. */
export type MeasuredStep = MassStep | TorqueStep;
