import { dayOf } from '../identifier.ts';
import { ok, type Result, refuse } from '../result.ts';
import type { JobCommandOf } from './command.ts';
import type { JobContext } from './context.ts';
import type { JobEvent } from './event.ts';
import { planOf } from './planned-step.ts';
import type { JobState } from './state.ts';

/** Opens a job at the sheet in force and pins its revision. */
export function decideOpening(
  state: JobState | undefined,
  command: JobCommandOf<'openJob'>,
  context: JobContext,
): Result<readonly JobEvent[]> {
  if (state !== undefined) return refuse('job_exists', 'jobId', `Job ${state.jobId} is there already.`);
  if (context.openJobOfSerial !== undefined) {
    return refuse(
      'serial_in_work',
      'serial',
      `${command.serial} is in work as job ${context.openJobOfSerial}; take that one in hand.`,
    );
  }
  if (context.sheet === undefined) {
    return refuse(
      'sheet_missing',
      'headId',
      `No sheet in force for head ${command.headId}; have one approved.`,
    );
  }
  const { sheet, hash } = context.sheet;
  if (sheet.head.headId !== command.headId) {
    return refuse(
      'wrong_head',
      'headId',
      `Sheet ${sheet.sheetId} is for ${sheet.head.headId}, not this head.`,
    );
  }
  if (command.sheetId !== undefined && command.sheetId !== sheet.sheetId) {
    return refuse('wrong_sheet', 'sheetId', `The sheet at hand is ${sheet.sheetId}; choose again.`);
  }
  if (sheet.effectiveFrom > dayOf(context.at)) {
    return refuse(
      'sheet_not_effective',
      'sheetId',
      `Sheet ${sheet.sheetId} is in force from ${sheet.effectiveFrom}.`,
    );
  }
  if (sheet.invented && !context.simulated) {
    return refuse(
      'invented_sheet',
      'sheetId',
      `Sheet ${sheet.sheetId} is invented for the demo; write one after the tool maker's instructions.`,
    );
  }
  const { serial, headId, customerReference, reportedFault } = command;
  return ok([
    {
      kind: 'jobOpened',
      jobId: context.ids.jobId,
      at: context.at,
      personId: context.person.personId,
      serial,
      headId,
      sheetId: sheet.sheetId,
      sheetRevision: sheet.revision,
      sheetHash: hash,
      ...(customerReference === undefined ? {} : { customerReference }),
      ...(reportedFault === undefined ? {} : { reportedFault }),
      simulated: context.simulated,
      workshop: context.workshop,
      plan: planOf(sheet.steps),
    },
  ]);
}
