import { chosenRevision, chosenSheet } from '../state/desk-state.ts';
import { draftOf, nextRevision } from '../state/sheet-draft.ts';
import type { Action } from './action.ts';
import { today } from './concede-instrument.ts';
import { manage, signedInMay } from './manage.ts';
import { atSheets } from './manage-sheets.ts';

/** Goes on with a draft, or copies the chosen revision to the next one and opens it. */
export const editSheet: Action = {
  id: 'edit-sheet',
  key: 'F3',
  place: 'desk',
  label: ({ screen }) =>
    screen.desk.sheetDraft !== null || chosenRevision(screen.desk)?.status === 'draft'
      ? 'action.editSheet'
      : 'action.newRevision',
  offered: atSheets,
  enabled: (situation) => {
    const { desk } = situation.screen;
    if (!signedInMay(situation, 'draftSheet')) return false;
    return (
      desk.sheetDraft !== null ||
      (chosenRevision(desk) !== undefined && chosenSheet(desk)?.revisions.at(-1)?.status !== 'submitted')
    );
  },
  run({ screen }, hands) {
    const { desk } = screen;
    if (desk.sheetDraft !== null) {
      hands.setDesk({ sheetDraft: { ...desk.sheetDraft, isOpen: true } });
      return;
    }
    const revision = chosenRevision(desk);
    if (revision === undefined) return;
    const change =
      revision.status === 'draft'
        ? {}
        : { revision: nextRevision(chosenSheet(desk)), effectiveFrom: today() };
    hands.set({ notice: null });
    hands.setDesk({ sheetDraft: draftOf(revision.sheet, change) });
  },
};

/** Copies the chosen revision as the first of another sheet, for another head. */
export const copySheet: Action = {
  id: 'copy-sheet',
  key: 'Shift+F3',
  place: 'desk',
  label: () => 'action.copySheet',
  offered: atSheets,
  enabled: (situation) =>
    signedInMay(situation, 'draftSheet') &&
    situation.screen.desk.sheetDraft === null &&
    chosenRevision(situation.screen.desk) !== undefined,
  run({ screen }, hands) {
    const sheet = chosenRevision(screen.desk)?.sheet;
    if (sheet === undefined) return;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.copySheet',
        explanation: 'question.copySheet',
        fields: [
          { name: 'sheetId', kind: 'text', label: 'sheetField.sheetId' },
          { name: 'headId', kind: 'text', label: 'sheetField.headId', initial: sheet.head.headId },
        ],
        confirm: 'action.copySheet',
        submit: async ({ sheetId = '', headId = '' }) => {
          const copy = {
            ...sheet,
            sheetId,
            revision: 1,
            effectiveFrom: today(),
            head: { ...sheet.head, headId },
          };
          const failure = await manage(
            hands,
            { kind: 'draftSheet', sheet: copy },
            { key: 'sheets.saidSaved', parameters: { revision: 1 } },
          );
          if (failure === null) hands.setDesk({ sheetId, revision: 1, sheetDraft: draftOf(copy) });
          return failure;
        },
      },
    });
  },
};
