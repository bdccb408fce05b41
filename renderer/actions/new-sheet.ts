import { identifierSchema } from '../../shared/identifier.ts';
import { parseWith } from '../../shared/schema-refusal.ts';
import { freshSheet } from '../state/sheet-draft.ts';
import type { CallFailure } from '../station-client.ts';
import type { Action, Hands } from './action.ts';
import { today } from './concede-instrument.ts';
import { signedInMay } from './manage.ts';
import { atSheets } from './manage-sheets.ts';

/** Begins a sheet of its own: a caution and a sign-off, to be written out in the editor. */
export const newSheet: Action = {
  id: 'new-sheet',
  key: 'Shift+F7',
  place: 'desk',
  label: () => 'action.newSheet',
  offered: atSheets,
  enabled: (situation) => signedInMay(situation, 'draftSheet') && situation.screen.desk.sheetDraft === null,
  run({ screen, snapshot }, hands) {
    const known = (screen.desk.sheets ?? []).map(({ sheetId }) => sheetId);
    const invented = snapshot?.simulated === true;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.newSheet',
        explanation: 'question.newSheet',
        fields: [
          { name: 'sheetId', kind: 'text', label: 'sheetField.sheetId' },
          { name: 'headId', kind: 'text', label: 'sheetField.headId' },
        ],
        confirm: 'action.newSheet',
        submit: async ({ sheetId = '', headId = '' }) => begin({ sheetId, headId, invented }, known, hands),
      },
    });
  },
};

function begin(
  names: Parameters<typeof freshSheet>[0],
  known: readonly string[],
  hands: Hands,
): CallFailure | null {
  for (const field of ['sheetId', 'headId'] as const) {
    const read = parseWith(identifierSchema, names[field], [field]);
    if (!read.ok) return { kind: 'refusal', refusal: read.error };
  }
  if (known.includes(names.sheetId)) {
    const message = `${names.sheetId} is there already; choose another name.`;
    return { kind: 'refusal', refusal: { code: 'sheet_known', field: 'sheetId', message } };
  }
  hands.set({ notice: null });
  hands.setDesk({ sheetDraft: freshSheet(names, today()) });
  return null;
}
