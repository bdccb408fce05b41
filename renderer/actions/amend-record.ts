import type { TimelineView } from '../../shared/contract.ts';
import { eventWords } from '../screens/audit/event-words.ts';
import { createWording, type Wording } from '../wording/wording.ts';
import type { Action } from './action.ts';
import { correctRecord, mayCorrect, shownVisits } from './correct-record.ts';

type Visit = TimelineView['visits'][number];

/** Corrects an event of a visit by a new one that names it, with the reason; the original stays as it is. */
export const amendRecord: Action = {
  id: 'amend-record',
  key: 'Shift+F7',
  place: 'desk',
  label: () => 'action.amendRecord',
  offered: (situation) => mayCorrect(situation, 'amend'),
  enabled: (situation) => !situation.screen.busy && shownVisits(situation).some(isWhole),
  run(situation, hands) {
    const wording = createWording(hands.language());
    const choices = shownVisits(situation)
      .filter(isWhole)
      .flatMap((visit) => eventChoices(visit, wording));
    hands.open({
      kind: 'question',
      question: {
        title: 'action.amendRecord',
        explanation: 'question.amendRecord',
        fields: [
          { name: 'event', kind: 'choice', label: 'field.event', choices },
          { name: 'text', kind: 'text', label: 'field.rightIs' },
          { name: 'reason', kind: 'text', label: 'field.reason' },
        ],
        confirm: 'action.amendRecord',
        submit: ({ event = '', text = '', reason = '' }) => {
          const [jobId = '', of = ''] = event.split('#');
          return correctRecord(situation, hands, { kind: 'amend', jobId, of: Number(of), text, reason });
        },
      },
    });
  },
};

/** With an event altered or missing the others can no longer be counted. */
function isWhole(visit: Visit): boolean {
  return (visit.damage ?? []).length === 0;
}

/** Every event of a visit in order; an amendment names it by its place in the job, counted from 0. */
function eventChoices(visit: Visit, wording: Wording) {
  const captures = visit.captures.map((capture) => ({ ...capture, kind: 'measurementCaptured' }));
  return [...visit.events, ...captures]
    .sort((one, other) => one.sequence - other.sequence)
    .map(({ sequence, at, kind, stepId }, place) => ({
      value: `${visit.jobId}#${place}`,
      label: [
        `${sequence}`,
        eventWords(kind, wording),
        ...(stepId === null ? [] : [stepId]),
        wording.moment(at),
      ].join(' · '),
    }));
}
