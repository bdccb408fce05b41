import { judge } from '../../../shared/acceptance/judgement.ts';
import { guardedByUncertainty } from '../../../shared/acceptance/rule.ts';
import type { Lot } from '../../../shared/consumable/lot.ts';
import type { Capture, Tare } from '../../../shared/job/capture.ts';
import type { JobContext } from '../../../shared/job/context.ts';
import type { Actor } from '../../../shared/people/role.ts';
import type { ServiceSheet } from '../../../shared/sheet/sheet.ts';
import type { MeasuredStep, Step } from '../../../shared/sheet/step.ts';

/** Parts for job tests: an invented sheet, invented people, and captures judged by the real engine. */

export const text = (words: string) => ({ en: words, de: words });
export const at = '2026-11-25T09:00:00.000+01:00';
export const hash = 'ab'.repeat(32);

export const people = {
  amber: { personId: 'amber', roles: ['technician'] },
  birch: { personId: 'birch', roles: ['technician'] },
  cedar: { personId: 'cedar', roles: ['lead'] },
  dune: { personId: 'dune', roles: ['technician', 'lead'] },
  ember: { personId: 'ember', roles: ['auditor'] },
  fern: { personId: 'fern', roles: ['administrator'] },
} as const satisfies Record<string, Actor>;
export type Name = keyof typeof people;
export const names = Object.keys(people) as Name[];

const common = (stepId: string) => ({ stepId, title: text(stepId), mandatory: true, cautions: [] });
const heat = { hazard: 'heat', text: text('The ring burns skin.') } as const;

export const makeStep = {
  caution: (stepId: string): Step => ({
    ...common(stepId),
    kind: 'caution',
    cautions: [heat],
    text: text('Let it cool.'),
  }),
  instruction: (stepId: string): Step => ({
    ...common(stepId),
    kind: 'instruction',
    text: text('Clean it.'),
  }),
  check: (stepId: string, onFail: 'stop' | 'note' = 'stop'): Step => ({
    ...common(stepId),
    kind: 'check',
    mandatory: onFail === 'stop',
    question: text('Does it spin free?'),
    onFail,
  }),
  disposition: (stepId: string): Step => ({
    ...common(stepId),
    kind: 'disposition',
    part: text('gear set'),
    choices: ['reuse', 'replace'],
    reasonRequiredFor: ['replace'],
  }),
  consumable: (stepId: string): Step => ({
    ...common(stepId),
    kind: 'consumable',
    consumableId: 'grease-blue',
    name: text('Blue bench grease'),
    lotRequired: true,
  }),
  mass: (stepId: string, tare: 'none' | 'station' = 'station'): Step => ({
    ...common(stepId),
    kind: 'mass',
    band: { target: 18, lower: 17.4, upper: 18.6, unit: 'g' },
    rule: guardedByUncertainty,
    method: tare === 'none' ? 'direct' : 'dish',
    tare,
    maximumAttempts: 3,
  }),
  torque: (stepId: string, acceptConditionalPass = false): Step => ({
    ...common(stepId),
    kind: 'torque',
    band: { target: 27, lower: 24.84, upper: 29.16, unit: 'N.m' },
    rule: guardedByUncertainty,
    maximumAttempts: 2,
    acceptConditionalPass,
    finalPull: 'last',
  }),
  numeric: (stepId: string): Step => ({
    ...common(stepId),
    kind: 'numeric',
    label: text('temperature after run-in'),
    unit: '°C',
    upper: 55,
    decimals: 1,
    maximumAttempts: 2,
  }),
  note: (stepId: string): Step => ({ ...common(stepId), kind: 'note', prompt: text('Anything else?') }),
  signOff: (stepId: string, roles: ('technician' | 'lead')[] = ['technician', 'lead']): Step => ({
    ...common(stepId),
    kind: 'signOff',
    statement: text('Done as the sheet says.'),
    roles,
  }),
} as const;

export function makeSheet(steps: Step[]): ServiceSheet {
  return {
    format: 'bandwright-sheet-1',
    sheetId: 'sheet-test',
    revision: 1,
    title: text('Re-grease'),
    head: { headId: 'head-test', name: text('Test head') },
    invented: true,
    effectiveFrom: '2025-01-06',
    deferral: text("The tool maker's instructions come first."),
    nextServiceMonths: 12,
    steps,
  };
}

export const lot: Lot = {
  lotId: 'lot-1',
  consumableId: 'grease-blue',
  name: text('Blue bench grease'),
  expiry: '2027-06-30',
  received: 500,
  unit: 'g',
  usableDaysAfterOpening: null,
  openedAt: null,
  blocked: null,
  uses: [],
  remaining: 500,
  invented: true,
  version: 1,
};

const evidence = { profileHash: hash, lines: [{ atMilliseconds: 0, base64: 'U1QsR1MsKyAgMTguMDAgZw0K' }] };

export const tare: Tare = {
  indication: { offset: 0, text: '12.00', value: 12, unit: 'g', state: 'stable' },
  evidence,
};

/** A capture of that value, judged by the real engine with U = 0.05 of the band's unit. */
export function makeCapture(step: MeasuredStep, value: number, attempt: number, taken: Tare | null): Capture {
  const { unit } = step.band;
  const uncertainty = { expanded: 0.05, k: 2, unit };
  const judgement = judge({
    quantity: step.kind,
    reading: { value, unit },
    band: step.band,
    uncertainty,
    rule: step.rule,
  });
  if (!judgement.ok) throw new Error(judgement.error.message);
  const shown = value + (taken?.indication.value ?? 0);
  return {
    captureId: `capture-${step.stepId}-${attempt}`,
    quantity: step.kind,
    attempt,
    indication: {
      offset: 0,
      text: shown.toFixed(2),
      value: shown,
      unit,
      state: step.kind === 'mass' ? 'stable' : 'peak',
    },
    ...(taken === null ? {} : { tare: taken }),
    measured: { value, unit },
    corrections: [],
    evidence,
    instrument: {
      instrumentId: 'instrument-1',
      name: 'Bench instrument',
      profileName: 'test-shape',
      profileHash: hash,
      simulated: true,
      certificateHash: hash,
      certificateNumber: 'C-1',
      calibrationDue: '2027-12-01',
      concession: null,
    },
    budget: {
      unit,
      contributions: [],
      combined: 0.025,
      degreesOfFreedom: null,
      coverageProbability: 0.9545,
      k: 2,
      expanded: 0.05,
    },
    band: step.band,
    rule: step.rule,
    judgement: judgement.value,
    trace: { startedAt: at, points: [[0, shown]] },
    ...(step.kind === 'torque' ? { pulls: [{ peak: shown, unit: 'N.m' as const, final: true }] } : {}),
  };
}

export const fit = { usable: true, code: 'ok', message: 'Fit for use.', concession: null } as const;

/** The usual context: Amber at a simulated bench with the PIN entered. */
export function makeContext(sheet: ServiceSheet | undefined, changes: Partial<JobContext> = {}): JobContext {
  return {
    at,
    person: people.amber,
    pinVerified: true,
    ids: { jobId: 'job-1' },
    sheet: sheet === undefined ? undefined : { sheet, hash },
    workshop: 'Invented workshop',
    simulated: true,
    lot,
    tare,
    instrumentFitness: fit,
    ...changes,
  };
}
