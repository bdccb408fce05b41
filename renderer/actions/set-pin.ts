import { chosenAccount } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { atDesk, manage } from './manage.ts';
import { atAccount, atPeople, newPinFields, newPinTyped } from './manage-people.ts';

/** Sets a new PIN for the chosen person; a locked account is open again. */
export const setPin: Action = {
  id: 'set-pin',
  key: 'F6',
  place: 'desk',
  label: () => 'action.setPin',
  offered: atPeople,
  enabled: (situation) => atAccount(situation, 'setPin'),
  run({ screen }, hands) {
    const account = chosenAccount(screen.desk);
    if (account === undefined) return;
    const { personId, name } = account;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.setPin',
        explanation: 'question.setPin',
        parameters: { name },
        fields: [...newPinFields, { name: 'pin', kind: 'pin', label: 'field.ownPin' }],
        confirm: 'action.setPin',
        submit: async (values) => {
          const newPin = newPinTyped(values);
          return newPin.ok
            ? manage(
                hands,
                { kind: 'setPin', personId, newPin: newPin.value },
                { key: 'people.saidPin' },
                { pin: values.pin ?? '' },
              )
            : { kind: 'refusal', refusal: newPin.error };
        },
      },
    });
  },
};

/** Everyone may change their own PIN. */
export const setOwnPin: Action = {
  id: 'set-own-pin',
  key: 'F7',
  place: 'desk',
  label: () => 'action.setOwnPin',
  offered: (situation) => atDesk(situation, 'people'),
  enabled: () => true,
  run(_situation, hands) {
    hands.open({
      kind: 'question',
      question: {
        title: 'action.setOwnPin',
        explanation: 'question.setOwnPin',
        fields: [{ name: 'pin', kind: 'pin', label: 'field.oldPin' }, ...newPinFields],
        confirm: 'action.setOwnPin',
        submit: async (values) => {
          const newPin = newPinTyped(values);
          return newPin.ok
            ? manage(
                hands,
                { kind: 'setOwnPin', newPin: newPin.value },
                { key: 'people.saidPin' },
                { pin: values.pin ?? '' },
              )
            : { kind: 'refusal', refusal: newPin.error };
        },
      },
    });
  },
};
