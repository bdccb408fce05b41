import { setTimeout as sleep } from 'node:timers/promises';
import type { SimulatedScale } from '../../../drivers/simulated/simulated-scale.ts';
import type { Station } from '../../../electron/station/station.ts';
import type { Band } from '../../../shared/acceptance/band.ts';
import type { JobCommand } from '../../../shared/job/command.ts';
import type { JobState } from '../../../shared/job/state.ts';
import { convertNumber } from '../../../shared/quantity/conversion.ts';
import { findStep, type ServiceSheet } from '../../../shared/sheet/sheet.ts';
import type { Step } from '../../../shared/sheet/step.ts';

/** Carries one command out; a test puts its faults around the station here. */
export type Carry = (command: JobCommand) => Promise<JobState>;

export interface Work {
  readonly station: Station;
  readonly carry: Carry;
  /** Jobs in hand at the same time: one filled dish and one pull are captured for each of them. */
  readonly jobsAtOnce: number;
  /** First part of the serials; a number follows. */
  readonly serialPrefix: string;
}

interface InHand {
  readonly state: JobState;
  readonly sheet: ServiceSheet;
  readonly step: Step | undefined;
}

const patienceMilliseconds = 60_000;

/** Works for ever on the invented short sheet: opens, fills, tightens, signs and releases jobs, many at once. */
export async function workForEver(work: Work): Promise<never> {
  const { station, carry } = work;
  let number = station.store.countJobs({});
  for (;;) {
    while (station.jobs.openJobs().length < work.jobsAtOnce) {
      number += 1;
      const serial = `${work.serialPrefix}-${number}`;
      await carry({ kind: 'openJob', serial, headId: 'head-slate-short' });
    }
    const jobs = station.jobs.openJobs().map((state) => inHandOf(station, state));
    const quick = jobs.filter(({ step }) => step?.kind !== 'mass' && step?.kind !== 'torque');
    if (quick.length > 0) {
      for (const job of quick) await carry(plainCommand(job));
      continue;
    }
    await weighAndTighten(work, jobs);
  }
}

function inHandOf(station: Station, state: JobState): InHand {
  const sheet = station.jobs.sheetOf(state);
  const step = state.currentStepId === null ? undefined : findStep(sheet, state.currentStepId);
  return { state, sheet, step };
}

/** What is done at a step that measures nothing, or at the end. */
function plainCommand({ state: { jobId }, step }: InHand): JobCommand {
  if (step === undefined) return { kind: 'releaseJob', jobId };
  const to = { jobId, stepId: step.stepId };
  if (step.kind === 'caution') return { kind: 'acknowledgeCaution', ...to };
  if (step.kind === 'signOff') return { kind: 'signOffStep', ...to };
  throw new Error(`the short sheet has a step ${step.kind}`);
}

async function weighAndTighten(work: Work, jobs: readonly InHand[]): Promise<void> {
  const filling = jobs.filter(({ step }) => step?.kind === 'mass');
  const untared = filling.filter(({ state, step }) => !isTared(state, step));
  if (untared.length > 0) await weighEmptyDish(work, untared);
  else if (filling.length > 0) await fill(work, filling);
  else await tighten(work, jobs);
}

async function weighEmptyDish({ station, carry }: Work, jobs: readonly InHand[]): Promise<void> {
  const scale = scaleOf(station);
  scale.act({ kind: 'dish off' });
  scale.act({ kind: 'dish on' });
  for (const { state, sheet, step } of jobs) {
    const stepId = step?.stepId ?? '';
    await until(() => {
      const tare = station.bench.tare(state, sheet, stepId);
      return tare.ok && Math.abs(tare.value.value.indication.value - scale.state().dishGrams) < 0.1;
    });
    await carry({ kind: 'takeTare', jobId: state.jobId, stepId });
  }
}

async function fill({ station, carry }: Work, jobs: readonly InHand[]): Promise<void> {
  const scale = scaleOf(station);
  const band = bandOf(jobs);
  if (scale.state().dishGrams === 0) scale.act({ kind: 'dish on' });
  scale.act({ kind: 'dispense to', massGrams: convertNumber(band.target ?? 0, band.unit, 'g') });
  for (const { state, sheet, step } of jobs) {
    const stepId = step?.stepId ?? '';
    await until(() => {
      const capture = station.bench.capture(state, sheet, stepId);
      return capture.ok && capture.value.value.judgement.decision === 'pass';
    });
    await carry({ kind: 'captureMass', jobId: state.jobId, stepId });
  }
}

async function tighten({ station, carry }: Work, jobs: readonly InHand[]): Promise<void> {
  const band = bandOf(jobs);
  // The attempt begins when the step is looked at; pulls from before it do not count.
  for (const { state, sheet } of jobs) station.bench.measurementView(state, sheet);
  const { simulator, live } = station.bench.running(station.bench.assigned.wrench ?? '') ?? {};
  if (simulator?.kind !== 'wrench') throw new Error('the demo bench has no simulated wrench');
  // A wrench tells of a pull once; what nobody hears is gone.
  await until(() => live?.port.state.kind === 'open');
  const target = convertNumber(band.target ?? 0, band.unit, 'N.m');
  void simulator.wrench.pull({ targetNewtonMetres: target, scatter: 0 });
  for (const { state, sheet, step } of jobs) {
    const stepId = step?.stepId ?? '';
    await until(() => station.bench.capture(state, sheet, stepId).ok);
    await carry({ kind: 'captureTorque', jobId: state.jobId, stepId });
  }
}

function bandOf([first]: readonly InHand[]): Band {
  if (first?.step?.kind !== 'mass' && first?.step?.kind !== 'torque') throw new Error('no measured step');
  return first.step.band;
}

function isTared(state: JobState, step: Step | undefined): boolean {
  return state.steps.some(({ stepId, tare }) => stepId === step?.stepId && tare !== null);
}

function scaleOf(station: Station): SimulatedScale {
  const { simulator } = station.bench.running(station.bench.assigned.scale ?? '') ?? {};
  if (simulator?.kind !== 'scale') throw new Error('the demo bench has no simulated scale');
  return simulator.scale;
}

async function until(condition: () => boolean): Promise<void> {
  const end = performance.now() + patienceMilliseconds;
  while (!condition()) {
    if (performance.now() > end) throw new Error('the technician waited too long for a reading');
    await sleep(5);
  }
}
