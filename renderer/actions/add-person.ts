import type { Action } from './action.ts';
import { manage } from './manage.ts';
import { atPeople, newPinFields, newPinTyped, rolesField, rolesTyped } from './manage-people.ts';

/** Adds an account with its first PIN. */
export const addPerson: Action = {
  id: 'add-person',
  key: 'F3',
  place: 'desk',
  label: () => 'action.addPerson',
  offered: atPeople,
  enabled: () => true,
  run(_situation, hands) {
    /** The account is there; only its PIN was refused. */
    let isAdded = false;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.addPerson',
        explanation: 'question.addPerson',
        fields: [
          { name: 'personId', kind: 'text', label: 'field.personId' },
          { name: 'name', kind: 'text', label: 'field.name' },
          rolesField(['technician']),
          { name: 'badge', kind: 'text', label: 'field.badge', optional: true, scanned: true },
          ...newPinFields,
          { name: 'pin', kind: 'pin', label: 'field.ownPin' },
        ],
        confirm: 'action.addPerson',
        submit: async (values) => {
          const { personId = '', name = '', badge = '', pin = '' } = values;
          const newPin = newPinTyped(values);
          if (!newPin.ok) return { kind: 'refusal', refusal: newPin.error };
          if (!isAdded) {
            const failure = await manage(
              hands,
              {
                kind: 'addPerson',
                personId,
                name,
                roles: rolesTyped(values.roles ?? ''),
                ...(badge === '' ? {} : { badge }),
              },
              null,
            );
            if (failure !== null) return failure;
            isAdded = true;
          }
          hands.setDesk({ personId });
          return manage(
            hands,
            { kind: 'setPin', personId, newPin: newPin.value },
            { key: 'people.saidAdded', parameters: { name } },
            { pin },
          );
        },
      },
    });
  },
};
