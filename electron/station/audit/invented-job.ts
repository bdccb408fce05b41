import { type Judgement, judge } from '../../../shared/acceptance/judgement.ts';
import { toBase64 } from '../../../shared/evidence/base64.ts';
import type { Capture, Evidence, Tare } from '../../../shared/job/capture.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import type { PlannedStep } from '../../../shared/job/planned-step.ts';
import type { Unit } from '../../../shared/quantity/unit.ts';

/** Documents that invented jobs refer to, already in the store. */
export interface InventedReferences {
  readonly sheetHash: string;
  readonly scaleProfileHash: string;
  readonly wrenchProfileHash: string;
  readonly scaleCertificateHash: string;
  readonly wrenchCertificateHash: string;
}

/** A number in 0 … 1 from two whole numbers, always the same for the same two (splitmix32). */
export function chanceOf(seed: number, salt: number): number {
  let state = (Math.imul(seed, 0x9e3779b9) + Math.imul(salt, 0x85ebca6b)) | 0;
  state = Math.imul(state ^ (state >>> 16), 0x21f0aaad);
  state = Math.imul(state ^ (state >>> 15), 0x735a2d97);
  return ((state ^ (state >>> 15)) >>> 0) / 0x1_0000_0000;
}

/** Serial of the n-th invented job: some heads come back, so about one in four serials has several visits. */
export function inventedSerial(number: number): string {
  const tool = chanceOf(number, 1) < 0.25 && number > 8 ? Math.floor(chanceOf(number, 2) * number) : number;
  return `INV-${String(tool).padStart(7, '0')}`;
}

/**
 * The events of one whole invented job, in order: opened, caution, grease lot, tare, fill captured, torque captured,
 * released. Nothing of it describes a real tool, person or instrument.
 *
 * @param number which job; the same number always gives the same events
 * @param startedAt milliseconds since 1970 of the opening
 */
export function inventedJob(number: number, startedAt: number, references: InventedReferences): JobEvent[] {
  const jobId = `invented-${String(number).padStart(8, '0')}`;
  const personId = `person-${1 + Math.floor(chanceOf(number, 3) * 6)}`;
  const at = (seconds: number) => new Date(startedAt + seconds * 1000).toISOString();
  const step = (stepId: string, seconds: number) => ({ jobId, at: at(seconds), personId, stepId });
  const mass = massCapture(number, jobId, at(300), references);
  const torque = torqueCapture(number, jobId, at(560), references);
  return [
    {
      kind: 'jobOpened',
      jobId,
      at: at(0),
      personId,
      serial: inventedSerial(number),
      headId: `invented-head-${1 + Math.floor(chanceOf(number, 4) * 3)}`,
      sheetId: 'invented-sheet',
      sheetRevision: 1,
      sheetHash: references.sheetHash,
      simulated: true,
      workshop: 'Invented workshop',
      plan,
    },
    { kind: 'cautionAcknowledged', ...step('make-safe', 20), hazards: ['stored energy'] },
    {
      kind: 'consumableUsed',
      ...step('grease', 120),
      consumableId: 'grease',
      lotId: `lot-${1 + Math.floor(number / 500)}`,
      lotExpiry: null,
      quantity: null,
    },
    { kind: 'tareTaken', ...step('fill', 180), ...tareOf(references) },
    { kind: 'measurementCaptured', ...step('fill', 300), capture: mass },
    { kind: 'measurementCaptured', ...step('ring', 560), capture: torque },
    {
      kind: 'jobReleased',
      ...{ jobId, at: at(700), personId },
      summary: {
        steps: plan.map(({ stepId }) => ({ stepId, status: 'done' as const })),
        captures: 2,
        failedAttempts: 0,
        concessions: [],
        nextServiceDue: null,
      },
    },
  ];
}

function planned(
  stepId: string,
  kind: PlannedStep['kind'],
  after: string[],
  attempts: number | null,
): PlannedStep {
  return {
    stepId,
    kind,
    mandatory: true,
    after,
    maximumAttempts: attempts,
    acceptConditionalPass: false,
    failureIsNoted: false,
  };
}

const plan: PlannedStep[] = [
  planned('make-safe', 'caution', [], null),
  planned('grease', 'consumable', ['make-safe'], null),
  planned('fill', 'mass', ['grease'], 3),
  planned('ring', 'torque', ['fill'], 3),
];

function tareOf({ scaleProfileHash }: InventedReferences): Tare {
  return {
    indication: { offset: 0, text: '61.40', value: 61.4, unit: 'g', state: 'stable' },
    evidence: evidenceOf(scaleProfileHash, ['ST,GS,+0061.40  g\r\n']),
  };
}

function massCapture(
  number: number,
  jobId: string,
  startedAt: string,
  references: InventedReferences,
): Capture {
  const net = (24.6 + chanceOf(number, 5) * 0.8).toFixed(2);
  const gross = (Number(net) + 61.4).toFixed(2);
  const lines = Array.from({ length: 8 }, (_, index) => {
    const value = (Number(gross) - (7 - index) * 0.01).toFixed(2).padStart(7, '0');
    return `${index < 6 ? 'US' : 'ST'},GS,+${value}  g\r\n`;
  });
  lines[7] = `ST,GS,+${gross.padStart(7, '0')}  g\r\n`;
  return captureOf({
    captureId: `${jobId}-fill`,
    quantity: 'mass',
    reading: { text: net, unit: 'g' },
    indicated: { text: gross, unit: 'g', state: 'stable', offset: 7 * 19 },
    tare: tareOf(references),
    band: { target: 25, lower: 24.5, upper: 25.5, unit: 'g' },
    expanded: 0.04,
    evidence: evidenceOf(references.scaleProfileHash, lines),
    instrument: ['scale-1', references.scaleProfileHash, references.scaleCertificateHash],
    startedAt,
    final: Number(gross),
  });
}

function torqueCapture(
  number: number,
  jobId: string,
  startedAt: string,
  references: InventedReferences,
): Capture {
  const peak = (26.4 + chanceOf(number, 6) * 1.2).toFixed(2);
  return captureOf({
    captureId: `${jobId}-ring`,
    quantity: 'torque',
    reading: { text: peak, unit: 'N.m' },
    indicated: { text: peak, unit: 'N.m', state: 'peak', offset: 0 },
    band: { target: 27, lower: 25.92, upper: 28.08, unit: 'N.m' },
    expanded: 0.3,
    evidence: evidenceOf(references.wrenchProfileHash, [`PK,${peak.padStart(7, '0')},N.m\r\n`]),
    instrument: ['wrench-1', references.wrenchProfileHash, references.wrenchCertificateHash],
    startedAt,
    final: Number(peak),
  });
}

interface Measured {
  readonly captureId: string;
  readonly quantity: 'mass' | 'torque';
  readonly reading: { readonly text: string; readonly unit: Unit };
  readonly indicated: Pick<Capture['indication'], 'text' | 'unit' | 'state' | 'offset'>;
  readonly tare?: Tare;
  readonly band: Capture['band'];
  readonly expanded: number;
  readonly evidence: Evidence;
  readonly instrument: readonly [string, string, string];
  readonly startedAt: string;
  readonly final: number;
}

function captureOf(measured: Measured): Capture {
  const { captureId, quantity, reading, indicated, tare, band, evidence, startedAt, final } = measured;
  const [instrumentId, profileHash, certificateHash] = measured.instrument;
  const uncertainty = { expanded: measured.expanded, k: 2, unit: band.unit };
  const rule = { kind: 'guarded', factor: 1, source: 'ILAC-G8:09/2019 guard band w = r·U' } as const;
  return {
    captureId,
    quantity,
    attempt: 1,
    indication: { ...indicated, value: Number(indicated.text) },
    measured: { ...reading, value: Number(reading.text) },
    corrections: [],
    ...(tare === undefined ? {} : { tare }),
    evidence,
    instrument: {
      instrumentId,
      name: `Invented ${quantity === 'mass' ? 'scale' : 'wrench'}`,
      profileName: `invented-${quantity === 'mass' ? 'scale' : 'wrench'}`,
      profileHash,
      simulated: true,
      certificateHash,
      certificateNumber: `INV-${instrumentId}`,
      calibrationDue: '2099-12-31',
      concession: null,
    },
    budget: budgetOf(measured.expanded, band.unit),
    band,
    rule,
    judgement: judged({ quantity, reading, band, uncertainty, rule }),
    trace: { startedAt, points: traceTo(final) },
    ...(quantity === 'torque' ? { pulls: [{ peak: final, unit: 'N.m', final: true }] } : {}),
  };
}

function budgetOf(expanded: number, unit: Unit): Capture['budget'] {
  const u = expanded / 2;
  const contribution: Capture['budget']['contributions'][number] = {
    ...{ name: 'calibration certificate', cause: 'certificate', kind: 'normal' },
    ...{ unit, u, sensitivity: 1, contribution: u, share: 1, degreesOfFreedom: null },
  };
  return {
    ...{ unit, contributions: [contribution], combined: u, degreesOfFreedom: null },
    ...{ coverageProbability: null, k: 2, expanded },
  };
}

function judged(request: Parameters<typeof judge>[0]): Judgement {
  const judgement = judge(request);
  if (!judgement.ok) throw new TypeError(judgement.error.message);
  return judgement.value;
}

/** Forty points of a first-order approach. */
function traceTo(final: number): [number, number][] {
  return Array.from({ length: 40 }, (_, index) => [
    index * 100,
    Math.round(final * (1 - Math.exp(-index / 8)) * 100) / 100,
  ]);
}

function evidenceOf(profileHash: string, lines: readonly string[]): Evidence {
  return {
    profileHash,
    lines: lines.map((line, index) => ({
      atMilliseconds: index * 100,
      base64: toBase64(Uint8Array.from(line, (letter) => letter.charCodeAt(0))),
    })),
  };
}
