import type { ServiceSheet } from './sheet.ts';

/** One thing that differs between two revisions; null where a side has nothing there. */
export interface SheetDifference {
  /** `title.de`, `steps[fill].band.upper`, `steps` for another order of the steps. */
  readonly path: string;
  readonly before: unknown;
  readonly after: unknown;
}

/**
 * What a reviewer must look at: every value that differs, steps matched by their names, a new or a dropped
 * step as one entry, a list of words as a whole. The revision number itself is left out.
 */
export function differencesBetween(before: ServiceSheet, after: ServiceSheet): readonly SheetDifference[] {
  const { steps: stepsBefore, revision: _before, ...restBefore } = before;
  const { steps: stepsAfter, revision: _after, ...restAfter } = after;
  const order = orderDifference(
    stepsBefore.map((step) => step.stepId),
    stepsAfter.map((step) => step.stepId),
  );
  const named = (steps: ServiceSheet['steps']) => new Map(steps.map((step) => [step.stepId, step]));
  const mine = named(stepsBefore);
  const yours = named(stepsAfter);
  const names = [...new Set([...yours.keys(), ...mine.keys()])];
  return [
    ...differences(restBefore, restAfter, ''),
    ...order,
    ...names.flatMap((name) => differences(mine.get(name), yours.get(name), `steps[${name}]`)),
  ];
}

function orderDifference(before: readonly string[], after: readonly string[]): readonly SheetDifference[] {
  const keptBefore = before.filter((name) => after.includes(name));
  const keptAfter = after.filter((name) => before.includes(name));
  return keptBefore.join() === keptAfter.join()
    ? []
    : [{ path: 'steps', before: keptBefore, after: keptAfter }];
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null;
}

/** A list of names or choices; an empty list may be one of anything. */
function isWords(value: unknown): value is readonly string[] {
  return Array.isArray(value) && value.length > 0 && value.every((one) => typeof one === 'string');
}

function differences(before: unknown, after: unknown, path: string): readonly SheetDifference[] {
  if (Object.is(before, after)) return [];
  if (isWords(before) && isWords(after)) {
    return before.join() === after.join() ? [] : [{ path, before, after }];
  }
  if (!isRecord(before) || !isRecord(after) || Array.isArray(before) !== Array.isArray(after)) {
    return [{ path, before: before ?? null, after: after ?? null }];
  }
  const keys = [...new Set([...Object.keys(before), ...Object.keys(after)])];
  return keys.flatMap((key) => {
    const place = Array.isArray(before) ? `${path}[${key}]` : path === '' ? key : `${path}.${key}`;
    return differences(before[key], after[key], place);
  });
}
