import { chosenInstrument } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { atDesk, manage, signedInMay } from './manage.ts';

/** Takes the chosen instrument out of use for ever. */
export const retireInstrument: Action = {
  id: 'retire-instrument',
  key: 'F9',
  place: 'desk',
  label: () => 'action.retireInstrument',
  offered: (situation) => atDesk(situation, 'instruments'),
  enabled: (situation) =>
    signedInMay(situation, 'retireInstrument') && chosenInstrument(situation.screen.desk)?.retired === null,
  run({ screen }, hands) {
    const instrument = chosenInstrument(screen.desk);
    if (instrument === undefined) return;
    const { instrumentId, entry } = instrument;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.retireInstrument',
        explanation: 'question.retireInstrument',
        parameters: { name: entry.name },
        fields: [{ name: 'reason', kind: 'text', label: 'field.reason' }],
        confirm: 'action.retireInstrument',
        submit: ({ reason = '' }) =>
          manage(hands, { kind: 'retireInstrument', instrumentId, reason }, { key: 'desk.done' }),
      },
    });
  },
};
