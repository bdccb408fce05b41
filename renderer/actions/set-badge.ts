import { chosenAccount } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { manage } from './manage.ts';
import { atAccount, atPeople } from './manage-people.ts';

/** Gives the chosen person another badge, or none. */
export const setBadge: Action = {
  id: 'set-badge',
  key: 'F5',
  place: 'desk',
  label: () => 'action.setBadge',
  offered: atPeople,
  enabled: (situation) => atAccount(situation, 'setBadge'),
  run({ screen }, hands) {
    const account = chosenAccount(screen.desk);
    if (account === undefined) return;
    const { personId, name, badge } = account;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.setBadge',
        explanation: 'question.setBadge',
        parameters: { name },
        fields: [
          {
            name: 'badge',
            kind: 'text',
            label: 'field.badge',
            optional: true,
            scanned: true,
            initial: badge ?? '',
          },
        ],
        confirm: 'action.setBadge',
        submit: (values) =>
          manage(
            hands,
            { kind: 'setBadge', personId, badge: values.badge ? values.badge : null },
            { key: 'desk.done' },
          ),
      },
    });
  },
};
