import { permissions } from '../../shared/people/permission.ts';
import { chosenRevision, chosenSheet } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { manage } from './manage.ts';
import { atRevision, atSheets } from './manage-sheets.ts';
import { peopleWho } from './people-who.ts';

/** A lead who did not write it puts the chosen revision in force, with the PIN. */
export const approveSheet: Action = {
  id: 'approve-sheet',
  key: 'F5',
  place: 'desk',
  label: () => 'action.approveSheet',
  offered: atSheets,
  enabled: (situation) => atRevision(situation, 'submitted', 'approveSheet'),
  run(situation, hands) {
    const { desk } = situation.screen;
    const sheetId = chosenSheet(desk)?.sheetId;
    const chosen = chosenRevision(desk);
    if (sheetId === undefined || chosen === undefined) return;
    const { revision, effectiveFrom } = chosen;
    const authors = chosen.authors.map(({ personId }) => personId);
    hands.open({
      kind: 'question',
      question: {
        title: 'action.approveSheet',
        explanation: 'question.approveSheet',
        parameters: { revision, sheet: sheetId, day: effectiveFrom },
        fields: [
          {
            name: 'personId',
            kind: 'person',
            label: 'field.leadWho',
            people: peopleWho(situation, permissions.approveSheet).filter(
              ({ personId }) => !authors.includes(personId),
            ),
          },
          { name: 'pin', kind: 'pin', label: 'field.pin' },
        ],
        confirm: 'action.approveSheet',
        submit: ({ personId = '', pin = '' }) =>
          manage(
            hands,
            { kind: 'approveSheet', sheetId, revision },
            { key: 'sheets.saidApproved', parameters: { revision } },
            { personId, pin },
          ),
      },
    });
  },
};
