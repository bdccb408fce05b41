import { z } from 'zod';
import { identifierSchema } from '../identifier.ts';
import { predecessorsOf } from '../sheet/sheet.ts';
import type { Step } from '../sheet/step.ts';

export const stepStatuses = ['waiting', 'ready', 'done', 'failed', 'conceded', 'noted'] as const;
/**
 * waiting: steps before it are open; ready: may be done now; done: passed; failed: stands until repeated or
 * conceded; conceded: failed and accepted by a lead; noted: an optional check answered no and written down.
 */
export const stepStatusSchema = z.enum(stepStatuses);
export type StepStatus = z.infer<typeof stepStatusSchema>;

export const stepKinds = [
  'caution',
  'instruction',
  'check',
  'disposition',
  'consumable',
  'mass',
  'torque',
  'numeric',
  'note',
  'signOff',
] as const satisfies readonly Step['kind'][];

/** What `fold` must know of a step of the pinned sheet. */
export const plannedStepSchema = z.strictObject({
  stepId: identifierSchema,
  kind: z.enum(stepKinds),
  mandatory: z.boolean(),
  after: z.array(identifierSchema),
  /** Null where attempts are not counted. */
  maximumAttempts: z.int().min(1).nullable(),
  acceptConditionalPass: z.boolean(),
  /** For checks: a no is written down only. */
  failureIsNoted: z.boolean(),
});
export type PlannedStep = z.infer<typeof plannedStepSchema>;

/** The skeleton of a sheet that a job carries in its first event. */
export function planOf(steps: readonly Step[]): PlannedStep[] {
  return steps.map((step, index) => ({
    stepId: step.stepId,
    kind: step.kind,
    mandatory: step.mandatory,
    after: [...predecessorsOf(steps, index)],
    maximumAttempts: 'maximumAttempts' in step ? step.maximumAttempts : null,
    acceptConditionalPass: 'band' in step && step.acceptConditionalPass === true,
    failureIsNoted: step.kind === 'check' && step.onFail === 'note',
  }));
}
