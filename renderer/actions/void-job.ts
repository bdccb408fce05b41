import { permissions } from '../../shared/people/permission.ts';
import { phaseText } from '../screens/audit/phase-text.ts';
import { createWording } from '../wording/wording.ts';
import type { Action } from './action.ts';
import { correctRecord, mayCorrect, shownVisits } from './correct-record.ts';
import { peopleWho } from './people-who.ts';

/** Declares a visit of the serial void; a second person, who is a lead, agrees with the PIN. All of it stays readable. */
export const voidJob: Action = {
  id: 'void-job',
  key: 'Shift+F8',
  place: 'desk',
  label: () => 'action.voidJob',
  offered: (situation) => mayCorrect(situation, 'voidJob'),
  enabled: (situation) =>
    !situation.screen.busy && shownVisits(situation).some(({ phase }) => phase !== 'voided'),
  run(situation, hands) {
    const wording = createWording(hands.language());
    const visits = shownVisits(situation).filter(({ phase }) => phase !== 'voided');
    const asker = situation.snapshot?.signedIn?.personId;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.voidJob',
        explanation: 'question.voidJob',
        fields: [
          {
            name: 'jobId',
            kind: 'choice',
            label: 'field.visit',
            choices: visits.map((visit) => ({
              value: visit.jobId,
              label: `${wording.moment(visit.openedAt)} · ${phaseText(visit.phase, wording)}`,
            })),
            initial: visits[0]?.jobId ?? '',
          },
          { name: 'reason', kind: 'text', label: 'field.reason' },
          {
            name: 'personId',
            kind: 'person',
            label: 'field.secondPerson',
            people: peopleWho(situation, permissions.approveVoid).filter(
              ({ personId }) => personId !== asker,
            ),
          },
          { name: 'pin', kind: 'pin', label: 'field.pin' },
        ],
        confirm: 'action.voidJob',
        submit: ({ jobId = '', reason = '', personId = '', pin = '' }) =>
          correctRecord(situation, hands, { kind: 'voidJob', jobId, reason }, { personId, pin }),
      },
    });
  },
};
