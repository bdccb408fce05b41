import { z } from 'zod';
import { identifierSchema, spokenTextSchema } from '../identifier.ts';
import { mayDo } from '../people/permission.ts';
import type { Actor } from '../people/role.ts';
import { ok, type Result, refuse } from '../result.ts';
import type { RevisionStatus, SheetEvent, SheetRevision, SheetState } from './revision.ts';
import { serviceSheetSchema } from './sheet.ts';
import { checkSheet } from './sheet-check.ts';

const toRevision = { sheetId: identifierSchema, revision: z.int().min(1) };

/** What a lead may ask of a sheet. */
export const sheetCommandSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('draftSheet'), sheet: serviceSheetSchema }),
  z.strictObject({ kind: z.literal('submitSheet'), ...toRevision }),
  z.strictObject({ kind: z.literal('returnSheet'), ...toRevision, reason: spokenTextSchema }),
  z.strictObject({ kind: z.literal('approveSheet'), ...toRevision }),
  z.strictObject({ kind: z.literal('withdrawSheet'), ...toRevision, reason: spokenTextSchema }),
]);
export type SheetCommand = z.infer<typeof sheetCommandSchema>;

export interface SheetContext {
  readonly at: string;
  readonly person: Actor;
  /** True when the person has just re-entered the PIN for this command. */
  readonly pinVerified: boolean;
}

/** What a command makes of a sheet's revisions: the event, or the refusal. Never throws. */
export function decideSheet(
  state: SheetState | undefined,
  command: SheetCommand,
  context: SheetContext,
): Result<readonly SheetEvent[]> {
  if (!mayDo(context.person.roles, command.kind)) {
    return refuse('not_allowed', 'personId', `${command.kind} takes another role; ask a person who has it.`);
  }
  if (command.kind === 'draftSheet') return decideDraft(state, command.sheet, context);
  const { sheetId, revision } = command;
  const found = state?.revisions.find((candidate) => candidate.revision === revision);
  if (state?.sheetId !== sheetId || found === undefined) {
    return refuse(
      'no_such_sheet',
      'revision',
      `There is no revision ${revision} of ${sheetId}; draft it first.`,
    );
  }
  const envelope = { sheetId, revision, at: context.at, personId: context.person.personId };
  switch (command.kind) {
    case 'submitSheet': {
      const wrong = needStatus(found, 'draft');
      return wrong ?? ok([{ kind: 'sheetSubmitted', ...envelope }]);
    }
    case 'returnSheet': {
      const wrong = needStatus(found, 'submitted');
      return wrong ?? ok([{ kind: 'sheetReturned', ...envelope, reason: command.reason }]);
    }
    case 'approveSheet': {
      const wrong = needStatus(found, 'submitted');
      if (wrong !== null) return wrong;
      if (found.authors.includes(context.person.personId)) {
        return refuse('own_sheet', 'personId', 'Nobody approves their own sheet; ask another lead.');
      }
      if (!context.pinVerified) return refuse('pin_required', 'pin', 'An approval takes the PIN; enter it.');
      return ok([{ kind: 'sheetApproved', ...envelope }]);
    }
    case 'withdrawSheet': {
      const wrong = needStatus(found, 'approved');
      return wrong ?? ok([{ kind: 'sheetWithdrawn', ...envelope, reason: command.reason }]);
    }
  }
}

function needStatus(found: SheetRevision, status: RevisionStatus): ReturnType<typeof refuse> | null {
  if (found.status === status) return null;
  return refuse(
    'wrong_status',
    'revision',
    `Revision ${found.revision} is ${found.status}, not ${status}; look at the list again.`,
  );
}

function decideDraft(
  state: SheetState | undefined,
  sheet: Extract<SheetCommand, { kind: 'draftSheet' }>['sheet'],
  context: SheetContext,
): Result<readonly SheetEvent[]> {
  const checked = checkSheet(sheet);
  if (!checked.ok) return checked;
  const { sheetId, revision } = sheet;
  const newest = state?.revisions.at(-1);
  if (state !== undefined && state.sheetId !== sheetId) {
    return refuse('other_sheet', 'sheetId', `${sheetId} is another sheet than ${state.sheetId}; correct it.`);
  }
  const next = newest === undefined ? 1 : newest.status === 'draft' ? newest.revision : newest.revision + 1;
  if (newest?.status === 'submitted') {
    return refuse(
      'wrong_status',
      'revision',
      `Revision ${newest.revision} waits for approval; have it returned.`,
    );
  }
  if (revision !== next) {
    return refuse(
      'wrong_revision',
      'revision',
      `The next revision of ${sheetId} is ${next}, not ${revision}.`,
    );
  }
  if (newest !== undefined && newest.sheet.head.headId !== sheet.head.headId) {
    return refuse(
      'wrong_head',
      'head.headId',
      `${sheetId} is for ${newest.sheet.head.headId}; give another head its own sheet.`,
    );
  }
  const envelope = { sheetId, revision, at: context.at, personId: context.person.personId };
  return ok([{ kind: 'sheetDrafted', ...envelope, sheet }]);
}
