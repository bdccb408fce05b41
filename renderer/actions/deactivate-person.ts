import { chosenAccount } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { manage } from './manage.ts';
import { atAccount, atPeople } from './manage-people.ts';

/** Closes the account of somebody who has left. */
export const deactivatePerson: Action = {
  id: 'deactivate-person',
  key: 'F8',
  place: 'desk',
  label: () => 'action.deactivatePerson',
  offered: atPeople,
  enabled: (situation) => atAccount(situation, 'deactivatePerson'),
  run({ screen }, hands) {
    const account = chosenAccount(screen.desk);
    if (account === undefined) return;
    const { personId, name } = account;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.deactivatePerson',
        explanation: 'question.deactivatePerson',
        parameters: { name },
        fields: [{ name: 'reason', kind: 'text', label: 'field.reason' }],
        confirm: 'action.deactivatePerson',
        submit: ({ reason = '' }) =>
          manage(hands, { kind: 'deactivatePerson', personId, reason }, { key: 'desk.done' }),
      },
    });
  },
};
