import type { RevisionStatus } from '../../shared/sheet/revision.ts';
import { chosenRevision } from '../state/desk-state.ts';
import type { Situation } from '../state/situation.ts';
import { atDesk, signedInMay } from './manage.ts';

/** At the sheets, not writing one. */
export function atSheets(situation: Situation): boolean {
  return atDesk(situation, 'sheets') && situation.screen.desk.sheetDraft?.isOpen !== true;
}

/** Writing a sheet. */
export function atSheetEditor(situation: Situation): boolean {
  return atDesk(situation, 'sheets') && situation.screen.desk.sheetDraft?.isOpen === true;
}

/** Is a revision of that status chosen, by somebody who may change it? */
export function atRevision(
  situation: Situation,
  status: RevisionStatus,
  permission: 'submitSheet' | 'returnSheet' | 'approveSheet' | 'withdrawSheet',
): boolean {
  return (
    signedInMay(situation, permission) &&
    chosenRevision(situation.screen.desk)?.status === status &&
    !situation.screen.busy
  );
}
