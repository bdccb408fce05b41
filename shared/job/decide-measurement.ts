import type { InstrumentFitness } from '../instrument/fitness.ts';
import { ok, type Refusal, type Result, refuse } from '../result.ts';
import type { MeasuredStep } from '../sheet/step.ts';
import type { Capture } from './capture.ts';
import type { JobCommandOf } from './command.ts';
import type { JobContext } from './context.ts';
import type { JobEvent } from './event.ts';
import { checkStep } from './gate.ts';
import { isSameData } from './same-data.ts';
import type { JobState, StepState } from './state.ts';

/** Takes the weighing before the fill. May be repeated until the capture. */
export function decideTare(
  state: JobState,
  command: JobCommandOf<'takeTare'>,
  context: JobContext,
): Result<readonly JobEvent[]> {
  const found = checkStep(state, context, command.stepId, 'mass');
  if (!found.ok) return found;
  const { stepId } = command;
  if (found.value.step.tare !== 'station') {
    return refuse('tare_not_asked', 'stepId', `Step ${stepId} takes no tare by the station; go on.`);
  }
  const unfit = checkFitness(context.instrumentFitness);
  if (unfit !== null) return { ok: false, error: unfit };
  const { tare } = context;
  if (tare === undefined) {
    return refuse(
      'tare_missing',
      'stepId',
      'There is no settled reading to take as tare; wait and try again.',
    );
  }
  if (tare.indication.state !== 'stable') {
    return refuse('not_stable', 'stepId', 'The scale has not settled; wait and try again.');
  }
  return ok([
    {
      kind: 'tareTaken',
      jobId: state.jobId,
      at: context.at,
      personId: context.person.personId,
      stepId,
      ...tare,
    },
  ]);
}

/** Takes a judged capture into the job, whatever its decision: a failed one is kept as well. */
export function decideMeasurement(
  state: JobState,
  command: JobCommandOf<'captureMass' | 'captureTorque'>,
  context: JobContext,
): Result<readonly JobEvent[]> {
  const { stepId } = command;
  const found = checkStep(state, context, stepId, command.kind === 'captureMass' ? 'mass' : 'torque');
  if (!found.ok) return found;
  const { step, progress } = found.value;
  const unfit = checkFitness(context.instrumentFitness);
  if (unfit !== null) return { ok: false, error: unfit };
  const { capture } = context;
  if (capture === undefined) {
    return refuse('capture_missing', 'stepId', 'There is no settled reading to capture; wait and try again.');
  }
  const faulty =
    captureFault(capture, step, progress, state) ??
    (capture.instrument.concession === (context.instrumentFitness?.concession ?? null)
      ? null
      : fault('concession_mismatch', 'instrument.concession', 'is not the concession in force'));
  if (faulty !== null) return { ok: false, error: faulty };
  return ok([
    {
      kind: 'measurementCaptured',
      jobId: state.jobId,
      at: context.at,
      personId: context.person.personId,
      stepId,
      capture,
    },
  ]);
}

function checkFitness(fitness: InstrumentFitness | undefined): Refusal | null {
  if (fitness === undefined) {
    return {
      code: 'instrument_missing',
      field: 'instrumentId',
      message: 'No instrument is chosen for this step; choose one.',
    };
  }
  if (fitness.usable) return null;
  return { code: `instrument_${fitness.code}`, field: 'instrumentId', message: fitness.message };
}

function fault(code: string, field: string, message: string): Refusal {
  return { code, field: `capture.${field}`, message: `The capture's ${field} ${message}; capture again.` };
}

/** What makes a capture unfit for this step: the last guard before it becomes evidence. */
function captureFault(
  capture: Capture,
  step: MeasuredStep,
  progress: StepState,
  state: JobState,
): Refusal | null {
  const { judgement, measured } = capture;
  if (capture.quantity !== step.kind) return fault('wrong_quantity', 'quantity', `is not ${step.kind}`);
  if (!isSameData(capture.band, step.band)) return fault('band_mismatch', 'band', 'is not that of the sheet');
  if (!isSameData(capture.rule, step.rule)) return fault('rule_mismatch', 'rule', 'is not that of the sheet');
  if (measured.unit !== step.band.unit)
    return fault('unit_mismatch', 'measured.unit', 'is not that of the band');
  const { band } = step;
  const tolerance = { lower: band.lower ?? null, upper: band.upper ?? null };
  if (
    judgement.value !== measured.value ||
    judgement.unit !== measured.unit ||
    judgement.quantity !== capture.quantity ||
    !isSameData(judgement.rule, step.rule) ||
    !isSameData(judgement.tolerance, tolerance)
  ) {
    return fault('judgement_mismatch', 'judgement', 'does not judge this value by this sheet');
  }
  if (capture.attempt !== progress.attempts.length + 1) {
    return fault('attempt_mismatch', 'attempt', `is not ${progress.attempts.length + 1}`);
  }
  if (capture.instrument.simulated && !state.simulated) {
    return fault('simulated_instrument', 'instrument', 'is simulated and the job is not');
  }
  return step.kind === 'mass' ? massFault(capture, step.tare, progress) : pullFault(capture);
}

function massFault(
  capture: Capture,
  tare: 'none' | 'instrument' | 'station',
  progress: StepState,
): Refusal | null {
  if (capture.indication.state !== 'stable') {
    return { code: 'not_stable', field: 'stepId', message: 'The scale has not settled; wait and try again.' };
  }
  if (tare !== 'station') {
    return capture.tare === undefined
      ? null
      : fault('tare_mismatch', 'tare', 'is not asked for by the sheet');
  }
  if (progress.tare === null) {
    return { code: 'tare_missing', field: 'stepId', message: 'The tare is not taken yet; take it first.' };
  }
  return isSameData(capture.tare, progress.tare)
    ? null
    : fault('tare_mismatch', 'tare', 'is not the one taken');
}

function pullFault({ pulls }: Capture): Refusal | null {
  if (pulls === undefined || pulls.filter((pull) => pull.final).length === 1) return null;
  return fault('final_pull_missing', 'pulls', 'name no final pull, or several');
}
