import { lotUnitSchema } from '../../shared/consumable/lot.ts';
import { chosenLot } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { atDesk, manage, signedInMay } from './manage.ts';

/** Takes a new lot into stock; of the same material as the chosen one, unless it is typed otherwise. */
export const receiveLot: Action = {
  id: 'receive-lot',
  key: 'F3',
  place: 'desk',
  label: () => 'action.receiveLot',
  offered: (situation) => atDesk(situation, 'stock'),
  enabled: (situation) => signedInMay(situation, 'receiveLot'),
  run({ screen }, hands) {
    const like = chosenLot(screen.desk);
    hands.open({
      kind: 'question',
      question: {
        title: 'action.receiveLot',
        explanation: 'question.receiveLot',
        fields: [
          { name: 'lotId', kind: 'text', label: 'field.lot', scanned: true },
          {
            name: 'consumableId',
            kind: 'text',
            label: 'field.consumableId',
            initial: like?.consumableId ?? '',
          },
          { name: 'nameEn', kind: 'text', label: 'field.nameEn', initial: like?.name.en ?? '' },
          { name: 'nameDe', kind: 'text', label: 'field.nameDe', initial: like?.name.de ?? '' },
          { name: 'quantity', kind: 'number', label: 'field.quantity' },
          {
            name: 'unit',
            kind: 'choice',
            label: 'field.quantityUnit',
            choices: lotUnitSchema.options.map((value) => ({
              value,
              label: { key: `field.unit.${value}` } as const,
            })),
            initial: like?.unit ?? 'g',
          },
          { name: 'expiry', kind: 'day', label: 'field.expiry', optional: true },
          {
            name: 'usableDays',
            kind: 'number',
            label: 'field.usableDays',
            optional: true,
            initial: like?.usableDaysAfterOpening == null ? '' : String(like.usableDaysAfterOpening),
          },
        ],
        confirm: 'action.receiveLot',
        submit: async (values) => {
          const {
            lotId = '',
            consumableId = '',
            nameEn = '',
            nameDe = '',
            expiry = '',
            usableDays = '',
          } = values;
          const failure = await manage(
            hands,
            {
              kind: 'receiveLot',
              lotId,
              consumableId,
              name: { en: nameEn, de: nameDe },
              expiry: expiry === '' ? null : expiry,
              quantity: Number(values.quantity),
              unit: lotUnitSchema.catch('g').parse(values.unit),
              usableDaysAfterOpening: usableDays === '' ? null : Number(usableDays),
            },
            { key: 'stock.saidReceived', parameters: { lot: lotId } },
          );
          if (failure === null) hands.setDesk({ lotId });
          return failure;
        },
      },
    });
  },
};
