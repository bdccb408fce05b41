import copper from '../../seeds/sheets/copper.json' with { type: 'json' };
import type {
  InstrumentView,
  JobInHandView,
  LiveReading,
  MeasurementView,
  Snapshot,
} from '../../shared/contract.ts';
import type { JobEvent } from '../../shared/job/event.ts';
import { foldAll } from '../../shared/job/fold.ts';
import { planOf } from '../../shared/job/planned-step.ts';
import type { ServiceSheet } from '../../shared/sheet/sheet.ts';
import { findStep } from '../../shared/sheet/sheet.ts';
import { readSheet } from '../../shared/sheet/sheet-check.ts';

/** Moments at the bench as the station would tell them, made from an invented sheet and real job events. */

const hash = 'a'.repeat(64);
const at = '2026-11-25T09:00:00.000+01:00';
const amber = { personId: 'amber', name: 'Technician Amber', roles: ['technician'] } as const;
const cedar = { personId: 'cedar', name: 'Lead Cedar', roles: ['lead'] } as const;

export const sheet: ServiceSheet = sheetOf(copper);

function sheetOf(input: unknown): ServiceSheet {
  const read = readSheet(input);
  if (!read.ok) throw new Error(read.error.message);
  return read.value;
}

export const scale: InstrumentView = {
  instrumentId: 'scale-1',
  kind: 'scale',
  name: 'Bench scale 1',
  profileName: 'scale-comma-header',
  simulated: true,
  port: { path: 'pseudo-terminal 3', state: 'open', message: '' },
  silent: false,
  linesPerSecond: 10,
  rejections: {},
  lastRejection: null,
  fitness: { usable: true, code: 'ok', message: '' },
  certificateNumber: 'INVENTED-M-0171',
  calibrationDue: '2028-10-16',
  lastCheckAt: at,
};

export const wrench: InstrumentView = {
  ...scale,
  instrumentId: 'wrench-1',
  kind: 'wrench',
  name: 'Wrench 1',
  profileName: 'wrench-comma-line',
  port: { path: 'pseudo-terminal 4', state: 'open', message: '' },
  linesPerSecond: 0,
  certificateNumber: 'INVENTED-T-0311',
};

export const signedOut: Snapshot = {
  version: '0.1.0',
  workshop: 'Invented workshop',
  simulated: true,
  signedIn: null,
  people: [amber, cedar],
  instruments: [scale, wrench],
  assigned: { scale: 'scale-1', wrench: 'wrench-1' },
  openJobs: [],
  jobInHand: null,
  faults: [],
};

export const atStart: Snapshot = { ...signedOut, signedIn: amber };

function eventsUpTo(stepId: string | null): JobEvent[] {
  const envelope = { jobId: 'job-1', at, personId: 'amber' };
  const events: JobEvent[] = [
    {
      kind: 'jobOpened',
      ...envelope,
      serial: 'COP-1001',
      headId: sheet.head.headId,
      sheetId: sheet.sheetId,
      sheetRevision: 1,
      sheetHash: hash,
      simulated: true,
      workshop: 'Invented workshop',
      plan: planOf(sheet.steps),
    },
  ];
  for (const step of sheet.steps) {
    if (step.stepId === stepId) break;
    events.push({
      kind: 'concessionGranted',
      ...envelope,
      stepId: step.stepId,
      reason: 'test',
      limit: 'test',
    });
  }
  return events;
}

/** The job with everything before that step behind it; null: everything. `more` happened since. */
export function jobAt(stepId: string | null, more: readonly JobEvent[] = []): JobInHandView {
  const state = foldAll([...eventsUpTo(stepId), ...more]);
  if (state === undefined) throw new Error('no events');
  return { state, sheet, measurement: measurementAt(stepId), earlierVisits: 0 };
}

function measurementAt(stepId: string | null): MeasurementView | null {
  const step = stepId === null ? undefined : findStep(sheet, stepId);
  if (step?.kind !== 'mass' && step?.kind !== 'torque') return null;
  const { lower = 0, upper = 0 } = step.band;
  const isMass = step.kind === 'mass';
  const expanded = isMass ? 0.06 : 0.3;
  return {
    stepId: step.stepId,
    quantity: step.kind,
    instrumentId: isMass ? 'scale-1' : 'wrench-1',
    band: step.band,
    rule: step.rule,
    unit: step.band.unit,
    instrumentUnit: isMass ? 'g' : 'lbf.ft',
    inInstrumentUnit: isMass ? null : { target: '8.9', lower: '8.1', upper: '9.6' },
    acceptance: { lower: lower + expanded, upper: upper - expanded },
    expandedUncertainty: expanded,
    coverageFactor: 2,
    blocked: null,
    tare: null,
    attempts: 0,
    maximumAttempts: step.maximumAttempts,
  };
}

export function withJob(job: JobInHandView): Snapshot {
  return { ...atStart, jobInHand: job };
}

/** The tare of the dish, as the station stores it. */
export const tareTaken: JobEvent = {
  kind: 'tareTaken',
  jobId: 'job-1',
  at,
  personId: 'amber',
  stepId: 'fill',
  indication: { offset: 0, text: '52.31', value: 52.31, unit: 'g', state: 'stable' },
  evidence: { profileHash: hash, lines: [] },
};

/** A live reading of the scale. */
export function massReading(net: number | null, settled: boolean, decision: Decision | null): LiveReading {
  return {
    instrumentId: 'scale-1',
    atMilliseconds: 1000,
    indication: {
      text: (52.31 + (net ?? 0)).toFixed(2),
      unit: 'g',
      state: settled ? 'stable' : 'unstable',
    },
    measured: net === null ? null : { value: net, text: net.toFixed(2), unit: 'g' },
    settled,
    judgement: decision === null ? null : { decision, conformance: 0.99, margin: 0.1 },
    pull: null,
    dispensing: null,
  };
}
type Decision = NonNullable<LiveReading['judgement']>['decision'];

/** A live reading of the wrench. */
export function torqueReading(
  peak: number,
  phase: 'none' | 'pulling' | 'complete',
  decision: Decision | null,
): LiveReading {
  return {
    instrumentId: 'wrench-1',
    atMilliseconds: 1000,
    indication: { text: '0.0', unit: 'lbf.ft', state: phase === 'complete' ? 'peak' : 'track' },
    measured: phase === 'none' ? null : { value: peak, text: peak.toFixed(2), unit: 'N.m' },
    settled: phase === 'complete',
    judgement: decision === null ? null : { decision, conformance: 0.99, margin: 0.1 },
    pull: { phase, peakText: (peak / 1.3558).toFixed(1), peakUnit: 'lbf.ft', number: 1 },
    dispensing: null,
  };
}
