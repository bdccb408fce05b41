import type { JobCommand, JobCommandKind } from '../../../shared/job/command.ts';
import type { ServiceSheet } from '../../../shared/sheet/sheet.ts';
import { makeSheet, makeStep } from '../job/workbench.ts';

/** A sheet with one step of every kind, each named after its kind. */
export const sheetOfEveryStep: ServiceSheet = makeSheet(
  Object.entries(makeStep).map(([kind, make]) => make(kind)),
);
const to = { jobId: 'job-1' };
const at = (stepId: string) => ({ ...to, stepId });

/** One well-formed command of every kind. */
export const jobCommands: { readonly [Kind in JobCommandKind]: Extract<JobCommand, { kind: Kind }> } = {
  openJob: { kind: 'openJob', serial: 'SN-1', headId: 'head-test' },
  acknowledgeCaution: { kind: 'acknowledgeCaution', ...at('caution') },
  confirmInstruction: { kind: 'confirmInstruction', ...at('instruction') },
  answerCheck: { kind: 'answerCheck', ...at('check'), answer: 'yes' },
  disposePart: { kind: 'disposePart', ...at('disposition'), choice: 'reuse' },
  useConsumable: { kind: 'useConsumable', ...at('consumable'), lotId: 'lot-1' },
  takeTare: { kind: 'takeTare', ...at('mass') },
  captureMass: { kind: 'captureMass', ...at('mass') },
  captureTorque: { kind: 'captureTorque', ...at('torque') },
  recordNumeric: { kind: 'recordNumeric', ...at('numeric'), text: '41.5' },
  writeNote: { kind: 'writeNote', ...to, text: 'A note.' },
  signOffStep: { kind: 'signOffStep', ...at('signOff') },
  reopenStep: { kind: 'reopenStep', ...at('caution'), reason: 'Again.' },
  grantConcession: { kind: 'grantConcession', ...at('check'), reason: 'Light duty.', limit: 'This serial.' },
  holdJob: { kind: 'holdJob', ...to },
  resumeJob: { kind: 'resumeJob', ...to },
  handOverJob: { kind: 'handOverJob', ...to, toPersonId: 'birch' },
  abandonJob: { kind: 'abandonJob', ...to, reason: 'Sent back.' },
  releaseJob: { kind: 'releaseJob', ...to },
  voidJob: { kind: 'voidJob', ...to, reason: 'Wrong serial.' },
  amend: { kind: 'amend', ...to, of: 0, reason: 'Mistyped.', text: 'SN-2.' },
};
