import { predecessorsOf, type ServiceSheet } from '../../../shared/sheet/sheet.ts';
import type { Step } from '../../../shared/sheet/step.ts';
import { type Name, people } from './workbench.ts';

/**
 * A second, deliberately plain account of what a job is, written from the rules and not from the code: which
 * command is taken, and how every step then stands. Written recursively over the sheet, with no events.
 */

export type Outcome = 'pass' | 'conditional pass' | 'fail';

export interface ModelStep {
  standing: 'open' | 'passed' | 'failed' | 'conceded' | 'noted';
  used: number;
  tared: boolean;
  triedBy: Set<Name>;
  tries: number;
}

export interface Model {
  readonly sheet: ServiceSheet;
  phase: 'none' | 'open' | 'held' | 'released' | 'abandoned' | 'voided';
  holder: Name;
  events: number;
  steps: Map<string, ModelStep>;
}

export function freshModel(sheet: ServiceSheet): Model {
  const steps = sheet.steps.map(({ stepId }): [string, ModelStep] => [
    stepId,
    { standing: 'open', used: 0, tared: false, triedBy: new Set(), tries: 0 },
  ]);
  return { sheet, phase: 'none', holder: 'amber', events: 0, steps: new Map(steps) };
}

const settled = (step: ModelStep) => ['passed', 'conceded', 'noted'].includes(step.standing);

export function progress(model: Model, stepId: string): ModelStep {
  const found = model.steps.get(stepId);
  if (found === undefined) throw new Error(`the model has no step ${stepId}`);
  return found;
}

function before(model: Model, stepId: string): readonly string[] {
  const index = model.sheet.steps.findIndex((step) => step.stepId === stepId);
  return predecessorsOf(model.sheet.steps, index);
}

/** Out of the way: settled, or optional, untouched or merely open, with all before it out of the way too. */
function outOfTheWay(model: Model, stepId: string): boolean {
  const mine = progress(model, stepId);
  if (settled(mine)) return true;
  const step = model.sheet.steps.find((candidate) => candidate.stepId === stepId);
  return step?.mandatory === false && mine.standing === 'open' && mayBegin(model, stepId);
}

export function mayBegin(model: Model, stepId: string): boolean {
  return before(model, stepId).every((name) => outOfTheWay(model, name));
}

export function isBench(name: Name): boolean {
  return name !== 'ember' && name !== 'fern';
}

export function isLead(name: Name): boolean {
  return (people[name].roles as readonly string[]).includes('lead');
}

export function limitOf(step: Step): number {
  return 'maximumAttempts' in step ? step.maximumAttempts : Number.POSITIVE_INFINITY;
}

/** May this step be worked on now? */
export function mayDoStep(model: Model, step: Step): boolean {
  const mine = progress(model, step.stepId);
  return !settled(mine) && mayBegin(model, step.stepId) && mine.used < limitOf(step);
}

export function isOwnWork(model: Model, stepId: string, who: Name): boolean {
  return model.holder === who || progress(model, stepId).triedBy.has(who);
}

export function mayReopen(model: Model, step: Step, who: Name): boolean {
  const mine = progress(model, step.stepId);
  if (mine.tries === 0 && !settled(mine)) return false;
  const isFreeLead = isLead(who) && !isOwnWork(model, step.stepId, who);
  return isFreeLead || (mine.standing !== 'conceded' && mine.used < limitOf(step));
}

export function mayRelease(model: Model): boolean {
  return model.sheet.steps.every(({ stepId, mandatory }) => {
    const mine = progress(model, stepId);
    return mine.standing !== 'failed' && (!mandatory || settled(mine));
  });
}

/** Writes down a try at a step. */
export function record(model: Model, step: Step, who: Name, passed: boolean): void {
  const mine = progress(model, step.stepId);
  const isNoted = step.kind === 'check' && step.onFail === 'note';
  mine.standing = passed ? 'passed' : isNoted ? 'noted' : 'failed';
  mine.used += 1;
  mine.tries += 1;
  mine.triedBy.add(who);
}

/** Sets a step and all that comes after it back. */
export function reopen(model: Model, stepId: string, renewed: boolean): void {
  const mine = progress(model, stepId);
  const reset = (step: ModelStep) => {
    step.standing = 'open';
    step.tared = false;
    if (renewed) step.used = 0;
  };
  reset(mine);
  for (const step of model.sheet.steps) {
    const other = progress(model, step.stepId);
    if (step.stepId !== stepId && other.standing !== 'open' && comesAfter(model, step.stepId, stepId)) {
      reset(other);
    }
  }
}

function comesAfter(model: Model, stepId: string, first: string): boolean {
  return before(model, stepId).some((name) => name === first || comesAfter(model, name, first));
}
