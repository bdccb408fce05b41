import type { ServiceRecordSource } from '../../../electron/station/documents/service-record-source.ts';
import { sha256 } from '../../../electron/station/store/sha256.ts';
import type { Band } from '../../../shared/acceptance/band.ts';
import { judge } from '../../../shared/acceptance/judgement.ts';
import { type DecisionRule, guardedByUncertainty } from '../../../shared/acceptance/rule.ts';
import { toBase64 } from '../../../shared/evidence/base64.ts';
import type { Capture } from '../../../shared/job/capture.ts';
import { type JobEvent, jobEventSchema } from '../../../shared/job/event.ts';
import { planOf } from '../../../shared/job/planned-step.ts';
import { convert } from '../../../shared/quantity/conversion.ts';
import { toNumber } from '../../../shared/quantity/rational.ts';
import type { Unit } from '../../../shared/quantity/unit.ts';
import { type ServiceSheet, serviceSheetSchema } from '../../../shared/sheet/sheet.ts';

// Everything here is invented: no real head, person, workshop, instrument or lot.

const both = (en: string, de: string) => ({ en, de });
const common = { mandatory: true, cautions: [] };

/** A sheet with every kind of step. */
export const inventedSheet: ServiceSheet = serviceSheetSchema.parse({
  format: 'bandwright-sheet-1',
  sheetId: 'invented-sheet-7',
  revision: 3,
  title: both('Re-grease and reassemble, invented head 7', 'Neu fetten und zusammenbauen, erfundener Kopf 7'),
  head: {
    headId: 'invented-head-7',
    name: both('Right-angle head, invented size 7', 'Winkelkopf, erfundene Größe 7'),
  },
  invented: true,
  effectiveFrom: '2026-01-01',
  deferral: both(
    'Invented for the demonstration. On a real tool follow its maker’s instructions.',
    'Für die Vorführung erfunden. Am wirklichen Werkzeug gelten die Anweisungen seines Herstellers.',
  ),
  nextServiceMonths: 12,
  steps: [
    {
      ...common,
      stepId: 'make-safe',
      kind: 'caution',
      title: both('Make safe', 'Sichern'),
      text: both('Disconnect air or battery.', 'Luft oder Akku trennen.'),
      cautions: [
        {
          hazard: 'stored energy',
          text: both('Disconnect and bleed the tool.', 'Werkzeug trennen und entlüften.'),
        },
        {
          hazard: 'compressed air',
          text: both('Never point the hose at people.', 'Schlauch nie auf Menschen richten.'),
        },
      ],
    },
    {
      ...common,
      stepId: 'open',
      kind: 'instruction',
      title: both('Open the head', 'Kopf öffnen'),
      text: both('Warm the lock ring and unscrew it.', 'Sicherungsring anwärmen und abschrauben.'),
      cautions: [
        {
          hazard: 'heat',
          text: both('Gloves. Parts stay hot for minutes.', 'Handschuhe. Teile bleiben minutenlang heiß.'),
        },
        {
          hazard: 'flammable residue',
          text: both('Wipe grease off before heating.', 'Fett vor dem Erwärmen abwischen.'),
        },
      ],
    },
    {
      ...common,
      stepId: 'clean',
      kind: 'instruction',
      title: both('Clean', 'Reinigen'),
      text: both('Clean all parts.', 'Alle Teile reinigen.'),
    },
    {
      ...common,
      stepId: 'teeth',
      kind: 'check',
      title: both('Inspect the teeth', 'Zähne prüfen'),
      question: both(
        'Are all flanks free of pitting and chips?',
        'Sind alle Flanken frei von Grübchen und Ausbrüchen?',
      ),
      onFail: 'stop',
    },
    {
      ...common,
      mandatory: false,
      stepId: 'housing',
      kind: 'check',
      title: both('Look at the housing', 'Gehäuse ansehen'),
      question: both('Is the housing free of dents?', 'Ist das Gehäuse frei von Beulen?'),
      onFail: 'note',
    },
    {
      ...common,
      stepId: 'gear-set',
      kind: 'disposition',
      title: both('Decide about the gear set', 'Über den Radsatz entscheiden'),
      part: both('Gear set', 'Radsatz'),
      choices: ['reuse', 'replace'],
      reasonRequiredFor: ['replace'],
    },
    {
      ...common,
      stepId: 'grease',
      kind: 'consumable',
      title: both('Choose the grease', 'Fett wählen'),
      consumableId: 'invented-grease-2',
      name: both('Gear grease, invented grade 2', 'Getriebefett, erfundene Sorte 2'),
      lotRequired: true,
    },
    {
      ...common,
      stepId: 'fill',
      kind: 'mass',
      title: both('Fill the outer recess', 'Äußere Kammer füllen'),
      text: both('Nothing into the bearing pocket.', 'Nichts in die Lagertasche.'),
      band: { target: 12.5, lower: 12, upper: 13, unit: 'g' },
      rule: guardedByUncertainty,
      maximumAttempts: 3,
      method: 'dish',
      tare: 'station',
      consumableId: 'invented-grease-2',
    },
    {
      ...common,
      stepId: 'pocket',
      kind: 'check',
      title: both('Bearing pocket clear', 'Lagertasche frei'),
      question: both('Is the bearing pocket free of grease?', 'Ist die Lagertasche frei von Fett?'),
      onFail: 'stop',
    },
    {
      ...common,
      stepId: 'assemble',
      kind: 'instruction',
      title: both('Reassemble', 'Zusammenbauen'),
      text: both('Put the parts together.', 'Teile zusammensetzen.'),
    },
    {
      ...common,
      stepId: 'seal',
      kind: 'consumable',
      title: both('Seal the ring threads', 'Ringgewinde sichern'),
      consumableId: 'invented-sealant',
      name: both('Thread sealant, invented', 'Gewindedichtung, erfunden'),
      lotRequired: true,
      quantity: 1,
    },
    {
      ...common,
      stepId: 'ring',
      kind: 'torque',
      title: both('Tighten the lock ring', 'Sicherungsring anziehen'),
      band: { target: 27, lower: 25.92, upper: 28.08, unit: 'N.m' },
      rule: guardedByUncertainty,
      maximumAttempts: 3,
      finalPull: 'last',
    },
    {
      ...common,
      stepId: 'run',
      kind: 'numeric',
      title: both('Run in', 'Einlaufen'),
      label: both('Temperature after five minutes', 'Temperatur nach fünf Minuten'),
      unit: '°C',
      upper: 60,
      decimals: 1,
      maximumAttempts: 2,
    },
    {
      ...common,
      mandatory: false,
      stepId: 'remarks',
      kind: 'note',
      title: both('Remarks', 'Bemerkungen'),
      prompt: both('Anything the customer should know', 'Was der Kunde wissen sollte'),
      after: [],
    },
    {
      ...common,
      stepId: 'sign',
      kind: 'signOff',
      title: both('Sign off', 'Abzeichnen'),
      statement: both('The work was done as described.', 'Die Arbeit wurde wie beschrieben getan.'),
      roles: ['technician', 'lead'],
    },
    {
      ...common,
      mandatory: false,
      stepId: 'accessories',
      kind: 'check',
      title: both('Accessories enclosed', 'Zubehör beigelegt'),
      question: both('Is everything enclosed?', 'Ist alles beigelegt?'),
      onFail: 'note',
    },
  ],
});
export const inventedSheetHash = sha256('invented sheet 7');

export const inventedNames: ReadonlyMap<string, string> = new Map([
  ['person-1', 'Ida Invented'],
  ['person-2', 'Otto Lead-Invented'],
  ['person-3', 'Żaneta Ŵymyślona'],
]);

interface CaptureWish {
  readonly captureId: string;
  readonly attempt: number;
  /** What the instrument shows, in its own unit. */
  readonly shown: { readonly text: string; readonly unit: Unit };
  readonly band: Band;
  readonly expanded: number;
  readonly rule?: DecisionRule;
  readonly instrument?: Partial<Capture['instrument']>;
  readonly tareText?: string;
  readonly pulls?: Capture['pulls'];
}

/** A capture that is judged by the real engine. */
export function inventedCapture(wish: CaptureWish): Capture {
  const { shown, band, expanded, attempt, captureId } = wish;
  const quantity = ['g', 'mg', 'kg', 'oz', 'lb', 'gr'].includes(shown.unit) ? 'mass' : 'torque';
  const net =
    wish.tareText === undefined ? shown.text : (Number(shown.text) - Number(wish.tareText)).toFixed(2);
  const rule = wish.rule ?? guardedByUncertainty;
  const uncertainty = { expanded, k: 2, unit: band.unit };
  const judged = judge({ quantity, reading: { text: net, unit: shown.unit }, band, uncertainty, rule });
  if (!judged.ok) throw new Error(judged.error.message);
  const converted = convert(net, shown.unit, band.unit);
  if (!converted.ok) throw new Error(converted.error.message);
  const evidence = {
    profileHash: sha256(`profile ${quantity}`),
    lines: [
      {
        atMilliseconds: 0,
        base64: toBase64(new TextEncoder().encode(`US,GS,${shown.text} ${shown.unit}\r\n`)),
      },
      {
        atMilliseconds: 100,
        base64: toBase64(new TextEncoder().encode(`ST,GS,${shown.text} ${shown.unit}\r\n`)),
      },
    ],
  };
  const indication = {
    offset: 0,
    text: shown.text,
    value: Number(shown.text),
    unit: shown.unit,
    state: quantity === 'mass' ? ('stable' as const) : ('peak' as const),
  };
  const u = expanded / 2;
  const line = {
    cause: 'certificate',
    kind: 'normal',
    unit: band.unit,
    sensitivity: 1,
    degreesOfFreedom: null,
  } as const;
  return {
    captureId,
    quantity,
    attempt,
    indication,
    ...(wish.tareText === undefined
      ? {}
      : {
          tare: {
            indication: { ...indication, text: wish.tareText, value: Number(wish.tareText) },
            evidence,
          },
        }),
    measured: { text: String(toNumber(converted.value)), value: toNumber(converted.value), unit: band.unit },
    corrections:
      quantity === 'mass'
        ? []
        : [{ name: 'certificate', value: -0.02, unit: band.unit, source: 'certificate INV-T-9, 27 N·m' }],
    evidence,
    instrument: {
      instrumentId: quantity === 'mass' ? 'scale-1' : 'wrench-1',
      name: quantity === 'mass' ? 'Bench scale, framed ASCII line' : 'Digital wrench, peak line',
      profileName: quantity === 'mass' ? 'framed-scale' : 'peak-wrench',
      profileHash: evidence.profileHash,
      simulated: false,
      certificateHash: sha256(`certificate ${quantity}`),
      certificateNumber: quantity === 'mass' ? 'INV-M-4711' : 'INV-T-9',
      calibrationDue: '2027-03-31',
      concession: null,
      ...wish.instrument,
    },
    budget: {
      unit: band.unit,
      contributions: [
        { ...line, name: 'calibration certificate', u: u * 0.8, contribution: u * 0.8, share: 0.64 },
        { ...line, name: 'repeatability', u: u * 0.6, contribution: u * 0.6, share: 0.36 },
      ],
      combined: u,
      degreesOfFreedom: null,
      coverageProbability: 0.9545,
      k: 2,
      expanded,
    },
    band,
    rule,
    judgement: judged.value,
    trace: {
      startedAt: '2026-11-25T09:30:00.000+01:00',
      points: [
        [0, 0],
        [100, Number(shown.text)],
      ],
    },
    ...(wish.pulls === undefined ? {} : { pulls: wish.pulls }),
  };
}

export const massBand: Band = { target: 12.5, lower: 12, upper: 13, unit: 'g' };
export const torqueBand: Band = { target: 27, lower: 25.92, upper: 28.08, unit: 'N.m' };

type EventWithout<Kind> = Kind extends JobEvent
  ? Omit<Kind, 'jobId' | 'at' | 'personId'> & { personId?: string }
  : never;
export type EventWish = EventWithout<JobEvent>;

export interface ServiceWish {
  readonly jobId?: string;
  readonly serial?: string;
  readonly simulated?: boolean;
  readonly sheetHash?: string;
  readonly reportedFault?: string;
  readonly customerReference?: string;
  /** Whole minutes since 2026-11-25T09:00+01:00 of the opening; each event comes a minute later. */
  readonly startMinutes?: number;
}

/** Events of one job, a minute apart, each checked by the schema of job events. */
export function jobEvents(wish: ServiceWish, wishes: readonly EventWish[]): JobEvent[] {
  const jobId = wish.jobId ?? 'job-0001';
  const opened = {
    kind: 'jobOpened',
    serial: wish.serial ?? 'INV-7-000123',
    headId: inventedSheet.head.headId,
    sheetId: inventedSheet.sheetId,
    sheetRevision: inventedSheet.revision,
    sheetHash: wish.sheetHash ?? inventedSheetHash,
    simulated: wish.simulated ?? false,
    workshop: 'Invented Workshop Nine',
    plan: planOf(inventedSheet.steps),
    ...(wish.reportedFault === undefined ? {} : { reportedFault: wish.reportedFault }),
    ...(wish.customerReference === undefined ? {} : { customerReference: wish.customerReference }),
  } satisfies EventWish;
  return [opened, ...wishes].map((event, index) => {
    const minutes = (wish.startMinutes ?? 0) + index;
    const local = new Date(Date.UTC(2026, 10, 25, 9, minutes, 11)).toISOString().replace('.000Z', '+01:00');
    const capture =
      event.kind === 'measurementCaptured'
        ? { capture: { ...event.capture, captureId: `${jobId.slice(0, 40)}-${index}` } }
        : {};
    return jobEventSchema.parse({ personId: 'person-1', ...event, ...capture, jobId, at: local });
  });
}

/** A source as the store would give it. */
export function sourceOf(
  events: readonly JobEvent[],
  parts: Partial<ServiceRecordSource> = {},
  firstSequence = 100,
): ServiceRecordSource {
  const recorded = events.map((event, index) => ({
    event,
    sequence: firstSequence + index,
    hash: sha256(`${event.jobId} ${index}`),
  }));
  const isClosed = events.some(({ kind }) => ['jobReleased', 'jobAbandoned', 'jobVoided'].includes(kind));
  return {
    events: recorded,
    sheet: inventedSheet,
    names: inventedNames,
    lotUnits: new Map([
      ['LOT-G2-0815', 'g'],
      ['LOT-S-77', 'count'],
    ]),
    proof: isClosed
      ? {
          revision: 1,
          hash: sha256('record'),
          keyId: sha256('key'),
          signature: toBase64(new Uint8Array(64).map((_, index) => (index * 37) & 255)),
          lastSequence: firstSequence + events.length - 1,
        }
      : null,
    ...parts,
  };
}

/** What happens up to the fill. */
const beforeFill: readonly EventWish[] = [
  { kind: 'cautionAcknowledged', stepId: 'make-safe', hazards: ['stored energy', 'compressed air'] },
  { kind: 'instructionConfirmed', stepId: 'open' },
  { kind: 'instructionConfirmed', stepId: 'clean' },
  { kind: 'checkAnswered', stepId: 'teeth', answer: 'yes' },
  {
    kind: 'checkAnswered',
    stepId: 'housing',
    answer: 'no',
    remark: 'A dent of 2 mm near the port, no crack.',
  },
  {
    kind: 'partDisposed',
    stepId: 'gear-set',
    choice: 'replace',
    reason: 'Pitting on two flanks of the driven gear.',
    replacement: 'INV-PART-55',
  },
  {
    kind: 'consumableUsed',
    stepId: 'grease',
    consumableId: 'invented-grease-2',
    lotId: 'LOT-G2-0815',
    lotExpiry: '2027-06-30',
    quantity: 12.5,
  },
];

function fillAttempt(attempt: number, text: string): EventWish {
  return {
    kind: 'measurementCaptured',
    stepId: 'fill',
    capture: inventedCapture({
      captureId: `fill-${attempt}`,
      attempt,
      shown: { text, unit: 'g' },
      tareText: '61.40',
      band: massBand,
      expanded: 0.06,
    }),
  };
}

const tare = inventedCapture({
  captureId: 'tare',
  attempt: 1,
  shown: { text: '61.40', unit: 'g' },
  band: massBand,
  expanded: 0.06,
});

function pull(attempt: number, text: string, more: Partial<CaptureWish> = {}): EventWish {
  return {
    kind: 'measurementCaptured',
    stepId: 'ring',
    capture: inventedCapture({
      captureId: `ring-${attempt}`,
      attempt,
      shown: { text, unit: 'lbf.ft' },
      band: torqueBand,
      expanded: 0.3,
      pulls: [
        { peak: 12.3, unit: 'lbf.ft', final: false },
        { peak: Number(text), unit: 'lbf.ft', angle: 41.5, final: true },
      ],
      ...more,
    }),
  };
}

const afterRing: readonly EventWish[] = [
  { kind: 'numericRecorded', stepId: 'run', text: '41.5', value: 41.5, unit: '°C', within: true },
  { kind: 'stepSignedOff', stepId: 'sign' },
];

const summaryOf = (concessions: string[], failedAttempts: number) => ({
  steps: inventedSheet.steps.map(({ stepId }) => ({ stepId, status: 'done' as const })),
  captures: 4,
  failedAttempts,
  concessions,
  nextServiceDue: '2027-11-25',
});

const assembly: readonly EventWish[] = [
  { kind: 'checkAnswered', stepId: 'pocket', answer: 'yes' },
  { kind: 'instructionConfirmed', stepId: 'assemble' },
  {
    kind: 'consumableUsed',
    stepId: 'seal',
    consumableId: 'invented-sealant',
    lotId: 'LOT-S-77',
    lotExpiry: null,
    quantity: 1,
  },
];

/** Clean: both measurements pass at the first attempt. */
export const cleanJob: readonly EventWish[] = [
  ...beforeFill,
  { kind: 'tareTaken', stepId: 'fill', indication: tare.indication, evidence: tare.evidence },
  fillAttempt(1, '73.92'),
  ...assembly,
  pull(1, '19.9'),
  ...afterRing,
  { kind: 'jobReleased', summary: summaryOf([], 0) },
];

/** Overfill and re-weigh, failed pulls, a concession, hold, hand-over, a reopened step, an amendment. */
export const troubledJob: readonly EventWish[] = [
  ...beforeFill,
  { kind: 'tareTaken', stepId: 'fill', indication: tare.indication, evidence: tare.evidence },
  fillAttempt(1, '74.81'),
  fillAttempt(2, '74.38'),
  fillAttempt(3, '73.95'),
  { kind: 'checkAnswered', stepId: 'pocket', answer: 'no', remark: 'Grease at the edge.' },
  {
    kind: 'stepReopened',
    stepId: 'fill',
    reason: 'Grease had run into the pocket; cleaned and filled again.',
    alsoReopened: ['pocket'],
    attemptsRenewed: true,
    personId: 'person-2',
  },
  { kind: 'tareTaken', stepId: 'fill', indication: tare.indication, evidence: tare.evidence },
  fillAttempt(1, '73.88'),
  { kind: 'jobHeld', reason: 'End of the shift.' },
  { kind: 'jobHandedOver', toPersonId: 'person-3', remark: 'Filled; ring still open.' },
  { kind: 'jobResumed', personId: 'person-3' },
  ...assembly,
  pull(1, '12.1'),
  pull(2, '20.8'),
  pull(3, '19.2', {
    instrument: {
      calibrationDue: '2026-10-31',
      concession: 'Certificate on its way, checked against the reference.',
    },
  }),
  {
    kind: 'concessionGranted',
    stepId: 'ring',
    reason: 'Wrench at the end of its range; ring seated to the stop.',
    limit: 'Back for a check within 30 days.',
    personId: 'person-2',
  },
  { kind: 'noteWritten', stepId: 'remarks', text: 'Port thread is worn; replace at the next service.' },
  { kind: 'noteWritten', stepId: null, text: 'Customer asked for the old parts.' },
  ...afterRing,
  { kind: 'checkAnswered', stepId: 'accessories', answer: 'yes' },
  { kind: 'jobReleased', summary: summaryOf(['ring'], 6) },
  {
    kind: 'amendmentMade',
    of: 6,
    reason: 'Typed the number of the box.',
    text: 'The new gear set is INV-PART-56.',
    personId: 'person-2',
  },
];

/** A pull on a simulated wrench in an otherwise real job. */
export const simulatedWrench: EventWish = pull(1, '19.9', { instrument: { simulated: true } });
