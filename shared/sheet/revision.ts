import { z } from 'zod';
import { identifierSchema, instantSchema, spokenTextSchema } from '../identifier.ts';
import { type ServiceSheet, serviceSheetSchema } from './sheet.ts';

const envelope = {
  sheetId: identifierSchema,
  revision: z.int().min(1),
  at: instantSchema,
  personId: identifierSchema,
};

function event<Kind extends string, Shape extends z.core.$ZodLooseShape>(kind: Kind, shape: Shape) {
  return z.strictObject({ kind: z.literal(kind), ...envelope, ...shape });
}

/** Everything that can have happened to the revisions of a sheet. */
export const sheetEventSchema = z.discriminatedUnion('kind', [
  /** The text of a revision; again while it is a draft, the newest counts. */
  event('sheetDrafted', { sheet: serviceSheetSchema }),
  event('sheetSubmitted', {}),
  /** Back to the authors. */
  event('sheetReturned', { reason: spokenTextSchema }),
  event('sheetApproved', {}),
  event('sheetWithdrawn', { reason: spokenTextSchema }),
]);
export type SheetEvent = z.infer<typeof sheetEventSchema>;

export type RevisionStatus = 'draft' | 'submitted' | 'approved' | 'withdrawn';

export interface SheetRevision {
  readonly revision: number;
  readonly sheet: ServiceSheet;
  readonly status: RevisionStatus;
  /** Everyone who wrote or submitted it. */
  readonly authors: readonly string[];
  readonly approvedBy: string | null;
  readonly approvedAt: string | null;
  /** Why it was returned or withdrawn last. */
  readonly reason: string | null;
}

/** All revisions of one sheet, oldest first. */
export interface SheetState {
  readonly sheetId: string;
  readonly revisions: readonly SheetRevision[];
  readonly version: number;
}

/** The state after one more event. Throws where the events cannot be those of one sheet. */
export function foldSheet(state: SheetState | undefined, event: SheetEvent): SheetState {
  const before = state ?? { sheetId: event.sheetId, revisions: [], version: 0 };
  if (before.sheetId !== event.sheetId)
    throw new Error(`event of sheet ${event.sheetId} in ${before.sheetId}`);
  const found = before.revisions.find(({ revision }) => revision === event.revision);
  const others = before.revisions.filter(({ revision }) => revision !== event.revision);
  const revisions = [...others, changed(found, event)].sort((a, b) => a.revision - b.revision);
  return { ...before, revisions, version: before.version + 1 };
}

function changed(found: SheetRevision | undefined, event: SheetEvent): SheetRevision {
  if (event.kind === 'sheetDrafted') {
    return {
      revision: event.revision,
      sheet: event.sheet,
      status: 'draft',
      authors: withAuthor(found?.authors ?? [], event.personId),
      approvedBy: null,
      approvedAt: null,
      reason: found?.reason ?? null,
    };
  }
  if (found === undefined) throw new Error(`${event.kind} of ${event.sheetId} before its draft`);
  switch (event.kind) {
    case 'sheetSubmitted':
      return { ...found, status: 'submitted', authors: withAuthor(found.authors, event.personId) };
    case 'sheetReturned':
      return { ...found, status: 'draft', reason: event.reason };
    case 'sheetApproved':
      return { ...found, status: 'approved', approvedBy: event.personId, approvedAt: event.at };
    case 'sheetWithdrawn':
      return { ...found, status: 'withdrawn', reason: event.reason };
  }
}

function withAuthor(authors: readonly string[], personId: string): readonly string[] {
  return authors.includes(personId) ? authors : [...authors, personId];
}

/**
 * The revision that new jobs pin on that day: the highest that was approved and is effective. Null if there is
 * none or if that one is withdrawn: an older revision never comes back by itself.
 */
export function revisionInForce(state: SheetState, day: string): SheetRevision | null {
  const newest = state.revisions.findLast(
    ({ approvedBy, sheet }) => approvedBy !== null && sheet.effectiveFrom <= day,
  );
  return newest?.status === 'approved' ? newest : null;
}
