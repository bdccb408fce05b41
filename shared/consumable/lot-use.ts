import type { JobEvent } from '../job/event.ts';
import type { JobState } from '../job/state.ts';
import { convert } from '../quantity/conversion.ts';
import { rationalOfNumber } from '../quantity/decimal-text.ts';
import { toNumber } from '../quantity/rational.ts';
import { findStep, type ServiceSheet } from '../sheet/sheet.ts';
import type { LotEvent } from './lot.ts';

/**
 * What an event of a job takes from a lot: to be appended to the lot together with the event. A consumable
 * step takes what was entered; a mass step that names a consumable takes what was weighed, from the lot that
 * an earlier step of the job named, whether or not the fill passed. `state` is the job before the event.
 */
export function lotUseOf(
  event: JobEvent,
  state: JobState,
  sheet: ServiceSheet,
): Extract<LotEvent, { kind: 'lotUsed' }> | null {
  const { jobId, at, personId } = event;
  if (event.kind === 'consumableUsed' && event.lotId !== null) {
    const { lotId, stepId, quantity } = event;
    return { kind: 'lotUsed', lotId, jobId, stepId, at, personId, quantity };
  }
  if (event.kind !== 'measurementCaptured' || event.capture.quantity !== 'mass') return null;
  const step = findStep(sheet, event.stepId);
  if (step?.kind !== 'mass' || step.consumableId === undefined) return null;
  const lotId = lotNamedFor(step.consumableId, state, sheet);
  if (lotId === null) return null;
  const { value, unit } = event.capture.measured;
  const grams = convert(rationalOfNumber(value), unit, 'g');
  const quantity = grams.ok && toNumber(grams.value) > 0 ? toNumber(grams.value) : null;
  return { kind: 'lotUsed', lotId, jobId, stepId: event.stepId, at, personId, quantity };
}

function lotNamedFor(consumableId: string, state: JobState, sheet: ServiceSheet): string | null {
  const attempts = state.steps.flatMap((progress) => {
    const step = findStep(sheet, progress.stepId);
    return step?.kind === 'consumable' && step.consumableId === consumableId ? progress.attempts : [];
  });
  const named = attempts.filter((attempt) => typeof attempt.lotId === 'string');
  return named.sort((a, b) => a.event - b.event).at(-1)?.lotId ?? null;
}
