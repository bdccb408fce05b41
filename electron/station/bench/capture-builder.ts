import { randomUUID } from 'node:crypto';
import { findFinalPull } from '../../../drivers/final-pull.ts';
import type { LiveIndication } from '../../../drivers/live-event.ts';
import type { FinalPullRule } from '../../../drivers/profile/settings.ts';
import { steadinessRuleOf } from '../../../drivers/settling.ts';
import type { JsonObject } from '../../../shared/evidence/canonical-json.ts';
import type { Indication } from '../../../shared/indication.ts';
import { certificateInForce, type InstrumentFitness } from '../../../shared/instrument/fitness.ts';
import type { Instrument } from '../../../shared/instrument/instrument.ts';
import type { Capture, Tare } from '../../../shared/job/capture.ts';
import { measure } from '../../../shared/measurement/measure.ts';
import { convertNumber } from '../../../shared/quantity/conversion.ts';
import { torqueUnitSchema } from '../../../shared/quantity/unit.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import type { MassStep, TorqueStep } from '../../../shared/sheet/step.ts';
import type { Captured } from '../job-desk.ts';
import { type BenchInstrument, rawLines, type TakenPull } from './bench-instrument.ts';
import { type MeasuredStepInHand, measuringInstrument } from './measured-step.ts';
import { keptTrace, type TracePoint } from './trace.ts';

/** Everything that a capture is made of, besides the step. */
export interface CaptureSource {
  readonly runtime: BenchInstrument;
  readonly instrument: Instrument;
  readonly fitness: InstrumentFitness;
  /** Now, ISO 8601 with offset. */
  readonly at: string;
  /** Monotonic time at which the step (or this attempt at it) began. */
  readonly attemptSinceMilliseconds: number;
}

/** Raw lines of at least this time before a weighing are kept with it: enough to see that it had settled. */
const leastMassEvidenceMilliseconds = 2000;
/** The course of this time before a pull is kept with it. */
const pullLeadMilliseconds = 500;

/** Where our own steadiness rule called it settled, its window and a little more is kept, for the replay. */
function massEvidenceMilliseconds({ profile }: BenchInstrument): number {
  return Math.max(leastMassEvidenceMilliseconds, 2 * (steadinessRuleOf(profile)?.window_ms ?? 0));
}

/** The weighing that is settled now, as tare. */
export function takeTare(source: CaptureSource): Result<Captured<Tare>> {
  const live = settledWeighing(source);
  if (!live.ok) return live;
  return ok({ value: tareOf(source.runtime, live.value), documents: documentsOf(source) });
}

/** The weighing that is settled now, judged. */
export function captureMass(
  source: CaptureSource,
  { step, progress }: MeasuredStepInHand & { step: MassStep },
): Result<Captured<Capture>> {
  const live = settledWeighing(source);
  if (!live.ok) return live;
  const tare = step.tare === 'station' ? progress.tare : null;
  if (step.tare === 'station' && tare === null) {
    return refuse(
      'tare_missing',
      'stepId',
      'The tare is not taken yet; put the empty dish on and take it first.',
    );
  }
  const { runtime } = source;
  const indication = settledIndication(live.value);
  return finish(source, { step, progress }, indication, tare, {
    evidence: {
      profileHash: runtime.profileHash,
      lines: runtime.evidence(live.value, massEvidenceMilliseconds(runtime)),
    },
    trace: runtime.trace.since(source.attemptSinceMilliseconds),
  });
}

/** The final pull of this attempt, judged; every pull is kept. */
export function captureTorque(
  source: CaptureSource,
  { step, progress }: MeasuredStepInHand & { step: TorqueStep },
): Result<Captured<Capture>> {
  const { runtime } = source;
  const condition = runtime.live.health().condition;
  if (condition === 'disconnected') {
    return refuse(
      'instrument_disconnected',
      'instrumentId',
      'The wrench is not connected; check cable and power.',
    );
  }
  const pulls = runtime.pullsSince(source.attemptSinceMilliseconds);
  const final = finalPull(pulls, step);
  if (final === null) {
    return refuse(
      'pull_missing',
      'stepId',
      'There is no complete pull yet; pull once, smoothly, and let go.',
    );
  }
  const { startedAtMilliseconds, endedAtMilliseconds } = final.pull;
  return finish(source, { step, progress }, final.peak.indication, null, {
    evidence: { profileHash: runtime.profileHash, lines: rawLines(final.evidence) },
    trace: runtime.trace
      .since(startedAtMilliseconds - pullLeadMilliseconds)
      .filter(({ atMilliseconds }) => atMilliseconds <= endedAtMilliseconds),
    pulls: pulls.map((taken) => ({
      peak: taken.peak.indication.value,
      unit: torqueUnitSchema.parse(taken.peak.indication.unit),
      ...(taken.pull.angle === undefined ? {} : { angle: taken.pull.angle }),
      final: taken === final,
    })),
  });
}

/** The rule of the sheet in the words of the drivers. */
const finalPullRules = {
  last: 'last_complete',
  'first after threshold': 'first_complete',
  highest: 'greatest_complete',
} as const satisfies Record<TorqueStep['finalPull'], FinalPullRule>;

/** Which of the pulls is the one that is judged, by the sheet's rule; those below its threshold do not count. */
export function finalPull(pulls: readonly TakenPull[], step: TorqueStep): TakenPull | null {
  const threshold = step.pullThreshold;
  const counting = pulls.filter(
    ({ peak }) =>
      threshold === undefined ||
      Math.abs(convertNumber(peak.indication.value, peak.indication.unit, threshold.unit)) >= threshold.value,
  );
  const final = findFinalPull(
    counting.map((taken) => ({ taken, peak: taken.pull.peak })),
    finalPullRules[step.finalPull],
  );
  return final?.taken ?? null;
}

function settledWeighing({ runtime }: CaptureSource): Result<LiveIndication> {
  const live = runtime.live.latest();
  const { condition } = runtime.live.health();
  if (condition === 'disconnected') {
    return refuse(
      'instrument_disconnected',
      'instrumentId',
      'The scale is not connected; check cable and power.',
    );
  }
  if (condition === 'silent' || live === undefined) {
    return refuse(
      'instrument_silent',
      'instrumentId',
      'The scale says nothing that can be read; check its display and its settings.',
    );
  }
  if (!live.settled) return refuse('not_stable', 'stepId', 'The scale has not settled; wait and try again.');
  return ok(live);
}

/** Settled by the instrument's flag, or by our steadiness rule where the instrument has none. */
function settledIndication({ indication, settled }: LiveIndication): Indication {
  return settled && indication.state === 'unstable' ? { ...indication, state: 'stable' } : indication;
}

function tareOf(runtime: BenchInstrument, live: LiveIndication): Tare {
  return {
    indication: settledIndication(live),
    evidence: {
      profileHash: runtime.profileHash,
      lines: runtime.evidence(live, massEvidenceMilliseconds(runtime)),
    },
  };
}

function documentsOf({ runtime, instrument, at }: CaptureSource): Captured<unknown>['documents'] {
  const inForce = certificateInForce(instrument, at);
  return [
    { kind: 'profile', body: { ...runtime.profile } as JsonObject },
    ...(inForce === null ? [] : [{ kind: 'certificate', body: { ...inForce.certificate } as JsonObject }]),
  ];
}

function finish(
  source: CaptureSource,
  { step, progress }: MeasuredStepInHand,
  indication: Indication,
  tare: Tare | null,
  kept: Pick<Capture, 'evidence' | 'pulls'> & { readonly trace: readonly TracePoint[] },
): Result<Captured<Capture>> {
  const { instrument, runtime, at, fitness } = source;
  const measured = measure(
    step,
    measuringInstrument(instrument, at),
    indication,
    tare?.indication ?? null,
    at,
  );
  if (!measured.ok) return measured;
  const inForce = certificateInForce(instrument, at);
  const { pulls, evidence } = kept;
  const capture: Capture = {
    captureId: randomUUID(),
    quantity: step.kind,
    attempt: progress.attempts.length + 1,
    indication,
    ...(tare === null ? {} : { tare }),
    measured: measured.value.measured,
    corrections: [...measured.value.corrections],
    evidence,
    instrument: {
      instrumentId: instrument.instrumentId,
      name: instrument.name,
      profileName: instrument.profileName,
      profileHash: runtime.profileHash,
      simulated: instrument.simulated,
      certificateHash: inForce?.hash ?? null,
      certificateNumber: inForce?.certificate.number ?? null,
      calibrationDue: inForce?.certificate.due ?? null,
      concession: fitness.concession,
    },
    budget: { ...measured.value.budget, contributions: [...measured.value.budget.contributions] },
    band: step.band,
    rule: step.rule,
    judgement: { ...measured.value.judgement, tolerance: { ...measured.value.judgement.tolerance } },
    trace: keptTrace(kept.trace) ?? { startedAt: at, points: [] },
    ...(pulls === undefined ? {} : { pulls }),
  };
  return ok({ value: capture, documents: documentsOf(source) });
}
