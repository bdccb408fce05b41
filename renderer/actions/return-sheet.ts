import { chosenRevision, chosenSheet } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { manage } from './manage.ts';
import { atRevision, atSheets } from './manage-sheets.ts';

/** What takes a submitted revision back to its authors, or an approved one out of force. */
function takeBack(
  parts: Pick<Action, 'id' | 'key'> & {
    readonly command: 'returnSheet' | 'withdrawSheet';
    readonly from: 'submitted' | 'approved';
  },
): Action {
  const { id, key, command, from } = parts;
  return {
    id,
    key,
    place: 'desk',
    label: () => `action.${command}`,
    offered: atSheets,
    enabled: (situation) => atRevision(situation, from, command),
    run({ screen }, hands) {
      const sheetId = chosenSheet(screen.desk)?.sheetId;
      const revision = chosenRevision(screen.desk)?.revision;
      if (sheetId === undefined || revision === undefined) return;
      hands.open({
        kind: 'question',
        question: {
          title: `action.${command}`,
          explanation: `question.${command}`,
          parameters: { revision },
          fields: [{ name: 'reason', kind: 'text', label: 'field.reason' }],
          confirm: `action.${command}`,
          submit: ({ reason = '' }) =>
            manage(hands, { kind: command, sheetId, revision, reason }, { key: 'desk.done' }),
        },
      });
    },
  };
}

export const returnSheet = takeBack({
  id: 'return-sheet',
  key: 'F6',
  command: 'returnSheet',
  from: 'submitted',
});
export const withdrawSheet = takeBack({
  id: 'withdraw-sheet',
  key: 'F9',
  command: 'withdrawSheet',
  from: 'approved',
});
