import { permissions } from '../../shared/people/permission.ts';
import { chosenInstrument } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { atDesk, manage } from './manage.ts';
import { peopleWho } from './people-who.ts';

/** A lead lets an unfit instrument be used for a while, with reason and PIN. */
export const concedeInstrument: Action = {
  id: 'concede-instrument',
  key: 'F5',
  place: 'desk',
  label: () => 'action.concedeInstrument',
  offered: (situation) => atDesk(situation, 'instruments'),
  enabled: ({ screen }) => {
    const instrument = chosenInstrument(screen.desk);
    return instrument?.retired === null && instrument.fitness.code !== 'ok';
  },
  run(situation, hands) {
    const instrument = chosenInstrument(situation.screen.desk);
    if (instrument === undefined) return;
    const { instrumentId, entry } = instrument;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.concedeInstrument',
        explanation: 'question.concedeInstrument',
        parameters: { name: entry.name },
        fields: [
          {
            name: 'personId',
            kind: 'person',
            label: 'field.leadWho',
            people: peopleWho(situation, permissions.concedeInstrument),
          },
          { name: 'reason', kind: 'text', label: 'field.reason' },
          { name: 'until', kind: 'day', label: 'field.until', initial: today() },
          { name: 'pin', kind: 'pin', label: 'field.pin' },
        ],
        confirm: 'action.concedeInstrument',
        submit: ({ personId = '', reason = '', until = '', pin = '' }) =>
          manage(
            hands,
            { kind: 'concedeInstrument', instrumentId, reason, until: endOfDay(until) },
            { key: 'desk.done' },
            { personId, pin },
          ),
      },
    });
  },
};

/** The calendar day here, ISO 8601. */
export function today(): string {
  const now = new Date();
  const two = (value: number) => String(value).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** The last second of a day here, as an instant. */
function endOfDay(day: string): string {
  const end = new Date(`${day}T23:59:59`);
  return Number.isNaN(end.getTime()) ? day : end.toISOString();
}
