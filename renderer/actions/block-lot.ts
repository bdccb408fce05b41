import { chosenLot } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { atDesk, manage, signedInMay } from './manage.ts';

/** Lets nobody use the chosen lot any more. */
export const blockLot: Action = {
  id: 'block-lot',
  key: 'F5',
  place: 'desk',
  label: () => 'action.blockLot',
  offered: (situation) => atDesk(situation, 'stock'),
  enabled: (situation) =>
    signedInMay(situation, 'blockLot') && chosenLot(situation.screen.desk)?.blocked === null,
  run({ screen }, hands) {
    const lotId = chosenLot(screen.desk)?.lotId;
    if (lotId === undefined) return;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.blockLot',
        explanation: 'question.blockLot',
        parameters: { lot: lotId },
        fields: [{ name: 'reason', kind: 'text', label: 'field.reason' }],
        confirm: 'action.blockLot',
        submit: ({ reason = '' }) => manage(hands, { kind: 'blockLot', lotId, reason }, { key: 'desk.done' }),
      },
    });
  },
};
