import { chosenAccount } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { manage } from './manage.ts';
import { atAccount, atPeople, rolesField, rolesTyped } from './manage-people.ts';

/** Changes what the chosen person may do. */
export const setRoles: Action = {
  id: 'set-roles',
  key: 'F4',
  place: 'desk',
  label: () => 'action.setRoles',
  offered: atPeople,
  enabled: (situation) => atAccount(situation, 'setRoles'),
  run({ screen }, hands) {
    const account = chosenAccount(screen.desk);
    if (account === undefined) return;
    const { personId, name, roles } = account;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.setRoles',
        explanation: 'question.setRoles',
        parameters: { name },
        fields: [rolesField(roles), { name: 'pin', kind: 'pin', label: 'field.ownPin' }],
        confirm: 'action.setRoles',
        submit: (values) =>
          manage(
            hands,
            { kind: 'setRoles', personId, roles: rolesTyped(values.roles ?? '') },
            { key: 'desk.done' },
            { pin: values.pin ?? '' },
          ),
      },
    });
  },
};
