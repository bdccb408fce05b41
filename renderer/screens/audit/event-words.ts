import type { JobEventKind } from '../../../shared/job/event.ts';
import { unitSchema } from '../../../shared/quantity/unit.ts';
import type { MessageKey } from '../../wording/english.ts';
import { unitName } from '../../wording/unit-name.ts';
import type { Wording } from '../../wording/wording.ts';

const events: Readonly<Record<JobEventKind, MessageKey>> = {
  jobOpened: 'audit.event.jobOpened',
  cautionAcknowledged: 'audit.event.cautionAcknowledged',
  instructionConfirmed: 'audit.event.instructionConfirmed',
  checkAnswered: 'audit.event.checkAnswered',
  partDisposed: 'audit.event.partDisposed',
  consumableUsed: 'audit.event.consumableUsed',
  tareTaken: 'audit.event.tareTaken',
  measurementCaptured: 'audit.event.measurementCaptured',
  numericRecorded: 'audit.event.numericRecorded',
  noteWritten: 'audit.event.noteWritten',
  stepSignedOff: 'audit.event.stepSignedOff',
  stepReopened: 'audit.event.stepReopened',
  concessionGranted: 'audit.event.concessionGranted',
  jobHeld: 'audit.event.jobHeld',
  jobResumed: 'audit.event.jobResumed',
  jobHandedOver: 'audit.event.jobHandedOver',
  jobAbandoned: 'audit.event.jobAbandoned',
  jobReleased: 'audit.event.jobReleased',
  jobVoided: 'audit.event.jobVoided',
  amendmentMade: 'audit.event.amendmentMade',
};

const details: Readonly<Record<string, MessageKey>> = {
  consumableId: 'audit.detail.consumable',
  lotId: 'audit.detail.lot',
  choice: 'audit.detail.choice',
  reason: 'audit.detail.reason',
  replacement: 'audit.detail.replacement',
  answer: 'audit.detail.answer',
  remark: 'audit.detail.remark',
  within: 'audit.detail.within',
  of: 'audit.detail.of',
  limit: 'audit.detail.limit',
  toPerson: 'audit.detail.toPerson',
  secondPerson: 'audit.detail.secondPerson',
};

const values: Readonly<Record<string, MessageKey>> = {
  yes: 'step.check.yes',
  no: 'step.check.no',
  true: 'step.check.yes',
  false: 'step.check.no',
  reuse: 'step.disposition.reuse',
  replace: 'step.disposition.replace',
  scrap: 'step.disposition.scrap',
};
const withWords: ReadonlySet<string> = new Set(['answer', 'within', 'choice']);

/** What happened, in words; the station's own word for what this page does not know. */
export function eventWords(kind: string, { say }: Wording): string {
  return Object.hasOwn(events, kind) ? say(events[kind as JobEventKind]) : kind;
}

const number = /^-?\d+(\.\d+)?$/;

/** What an event says besides, in one line: `Lot: LOT-BLUE-01 · Reason: …`; a number stands with its unit. */
export function detailText(
  { text, unit, ...others }: Readonly<Record<string, string>>,
  { say, decimal }: Wording,
): string {
  const isNumber = text !== undefined && number.test(text);
  const parts = Object.entries(others).map(([name, value]) => {
    const key = details[name];
    const word = withWords.has(name) ? values[value] : undefined;
    return `${key === undefined ? name : say(key)}: ${word === undefined ? value : say(word)}`;
  });
  if (text === undefined) {
    return [...(unit === undefined ? [] : [`${say('audit.detail.unit')}: ${unit}`]), ...parts].join(' · ');
  }
  const shown = isNumber ? decimal(text) : text;
  const known = unitSchema.safeParse(unit);
  const named = known.success ? unitName(known.data) : (unit ?? '');
  return [
    `${say(isNumber ? 'audit.value' : 'audit.detail.text')}: ${named === '' ? shown : `${shown}\u202f${named}`}`,
    ...parts,
  ].join(' · ');
}
