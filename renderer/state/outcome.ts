import type { Decision } from '../../shared/acceptance/judgement.ts';
import type { Snapshot } from '../../shared/contract.ts';
import type { Unit } from '../../shared/quantity/unit.ts';
import type { LocalizedText } from '../../shared/sheet/localized-text.ts';
import { shownValue } from './shown-value.ts';

/** What came of the newest attempt: said, sounded and shown once it is written down. */
export interface Outcome {
  readonly stepTitle: LocalizedText;
  readonly passed: boolean;
  /** Of a measured step. */
  readonly decision: Decision | null;
  readonly measured: { readonly text: string; readonly unit: Unit } | null;
  readonly conformance: number | null;
}

/** The attempt that the later snapshot has and the earlier one had not, on the same job; null without one. */
export function newOutcome(before: Snapshot | null, after: Snapshot): Outcome | null {
  const earlier = before?.jobInHand?.state;
  const job = after.jobInHand;
  if (earlier === undefined || job === null || earlier.jobId !== job.state.jobId) return null;
  for (const [index, step] of job.state.steps.entries()) {
    const known = earlier.steps[index]?.attempts.length ?? 0;
    const attempt = step.attempts.at(-1);
    if (attempt === undefined || step.attempts.length <= known) continue;
    const { capture } = attempt;
    const judgement = capture?.judgement;
    const sheetStep = job.sheet.steps.find(({ stepId }) => stepId === step.stepId);
    return {
      stepTitle: sheetStep?.title ?? { en: step.stepId, de: step.stepId },
      passed: attempt.outcome === 'pass',
      decision: judgement?.decision ?? null,
      measured: capture === undefined ? null : { text: shownValue(capture), unit: capture.measured.unit },
      conformance: judgement?.conformance ?? null,
    };
  }
  return null;
}

/** Names the attempt that live readings are judged for; another name, and what was judged before is over. */
export function attemptInHand(snapshot: Snapshot | null): string {
  const state = snapshot?.jobInHand?.state;
  const step = state?.steps.find(({ stepId }) => stepId === state.currentStepId);
  const instrumentId = snapshot?.jobInHand?.measurement?.instrumentId ?? '';
  return [state?.jobId, step?.stepId, step?.attempts.length, step?.tare === null, instrumentId].join('|');
}
