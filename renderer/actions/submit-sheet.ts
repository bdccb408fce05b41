import { chosenRevision, chosenSheet } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { manageAtOnce } from './manage.ts';
import { atRevision, atSheets } from './manage-sheets.ts';

/** Lays the chosen draft before another lead. */
export const submitSheet: Action = {
  id: 'submit-sheet',
  key: 'F4',
  place: 'desk',
  label: () => 'action.submitSheet',
  offered: atSheets,
  enabled: (situation) =>
    atRevision(situation, 'draft', 'submitSheet') && situation.screen.desk.sheetDraft === null,
  async run({ screen }, hands) {
    const sheetId = chosenSheet(screen.desk)?.sheetId;
    const revision = chosenRevision(screen.desk)?.revision;
    if (sheetId === undefined || revision === undefined) return;
    await manageAtOnce(
      hands,
      { kind: 'submitSheet', sheetId, revision },
      { key: 'sheets.saidSubmitted', parameters: { revision } },
    );
  },
};
