import { readSheet } from '../../shared/sheet/sheet-check.ts';
import { chosenRevision } from '../state/desk-state.ts';
import { draftOf, nextRevision, type Plain } from '../state/sheet-draft.ts';
import type { Action } from './action.ts';
import { signedInMay } from './manage.ts';
import { atSheets } from './manage-sheets.ts';

/** Reads a sheet from a file as the next draft of its name. */
export const importSheet: Action = {
  id: 'import-sheet',
  key: 'F7',
  place: 'desk',
  label: () => 'action.importSheet',
  offered: atSheets,
  enabled: (situation) => signedInMay(situation, 'draftSheet') && situation.screen.desk.sheetDraft === null,
  async run({ screen }, hands) {
    const text = await hands.readFile('application/json,.json');
    if (text === null) return;
    let data: unknown;
    try {
      data = JSON.parse(text);
    } catch {
      hands.say({ tone: 'refused', key: 'code.not_json' });
      return;
    }
    const read = readSheet(data);
    if (!read.ok) {
      hands.say({
        tone: 'refused',
        failure: { kind: 'refusal', refusal: read.error },
        sheet: { sheet: data as Plain, asJson: true },
      });
      return;
    }
    const known = screen.desk.sheets?.find(({ sheetId }) => sheetId === read.value.sheetId);
    hands.set({ notice: null });
    hands.setDesk({ sheetDraft: draftOf(read.value, { revision: nextRevision(known) }) });
  },
};

/** Gives the chosen revision as a file. */
export const exportSheet: Action = {
  id: 'export-sheet',
  key: 'F8',
  place: 'desk',
  label: () => 'action.exportSheet',
  offered: atSheets,
  enabled: ({ screen }) => chosenRevision(screen.desk) !== undefined,
  run({ screen }, hands) {
    const sheet = chosenRevision(screen.desk)?.sheet;
    if (sheet === undefined) return;
    hands.saveFile(`${sheet.sheetId}-${sheet.revision}.json`, `${JSON.stringify(sheet, null, 2)}\n`);
  },
};
