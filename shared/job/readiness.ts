import type { PlannedStep, StepStatus } from './planned-step.ts';

type StepLike = PlannedStep & { readonly status: StepStatus };

/** Done, conceded or noted: nothing more is asked of it. */
export function isFinished(status: StepStatus): boolean {
  return status === 'done' || status === 'conceded' || status === 'noted';
}

/**
 * Names of the steps that stand before this one and are still open. An optional step may be passed over; what
 * comes before it may not. A failed step holds up all that comes after it, optional or not.
 */
export function openStepsBefore(steps: readonly StepLike[], stepId: string): readonly string[] {
  const byId = new Map(steps.map((step) => [step.stepId, step]));
  const open: string[] = [];
  const seen = new Set<string>([stepId]);
  const queue = [...(byId.get(stepId)?.after ?? [])];
  for (let name = queue.shift(); name !== undefined; name = queue.shift()) {
    if (seen.has(name)) continue;
    seen.add(name);
    const before = byId.get(name);
    if (before === undefined || isFinished(before.status)) continue;
    if (before.mandatory || before.status === 'failed') open.push(name);
    else queue.push(...before.after);
  }
  return open;
}

/** Every step that comes after this one, directly or through others, in the order of the list. */
export function stepsAfter(steps: readonly PlannedStep[], stepId: string): readonly string[] {
  const reached = new Set<string>([stepId]);
  for (let grown = true; grown; ) {
    grown = false;
    for (const step of steps) {
      if (reached.has(step.stepId) || !step.after.some((name) => reached.has(name))) continue;
      reached.add(step.stepId);
      grown = true;
    }
  }
  return steps.map((step) => step.stepId).filter((name) => name !== stepId && reached.has(name));
}

/** The same steps with waiting and ready told apart. */
export function withReadiness<Step extends StepLike>(steps: readonly Step[]): readonly Step[] {
  return steps.map((step) => {
    if (step.status !== 'waiting' && step.status !== 'ready') return step;
    const status = openStepsBefore(steps, step.stepId).length === 0 ? 'ready' : 'waiting';
    return status === step.status ? step : { ...step, status };
  });
}

/** The step to work on: the first mandatory one that can be done, else the first optional one, else null. */
export function currentStepOf(steps: readonly StepLike[]): string | null {
  const possible = steps.filter((step) => step.status === 'ready' || step.status === 'failed');
  return (possible.find((step) => step.mandatory) ?? possible[0])?.stepId ?? null;
}
