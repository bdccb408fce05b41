import { permissions } from '../../shared/people/permission.ts';
import { type Action, atBench, toStep } from './action.ts';
import { askForCommand } from './ask-for-command.ts';
import { peopleWho } from './people-who.ts';

/** A lead accepts the failed step, with a reason, a limit and the PIN. */
export const grantConcession: Action = {
  id: 'grant-concession',
  key: 'Shift+F4',
  place: 'job menu',
  label: () => 'action.grantConcession',
  offered: (situation) => atBench(situation) && situation.phase === 'step',
  enabled: (situation) => situation.stepState?.status === 'failed',
  run(situation, hands) {
    const step = toStep(situation);
    if (step === null) return;
    askForCommand(hands, {
      title: 'action.grantConcession',
      explanation: 'question.concession',
      fields: [
        {
          name: 'personId',
          kind: 'person',
          label: 'field.lead',
          people: peopleWho(situation, permissions.grantConcession),
        },
        { name: 'reason', kind: 'text', label: 'field.reason' },
        { name: 'limit', kind: 'text', label: 'field.limit' },
        { name: 'pin', kind: 'pin', label: 'field.pin' },
      ],
      answer: ({ personId = '', reason = '', limit = '', pin = '' }) => ({
        command: { kind: 'grantConcession', ...step, reason, limit },
        personId,
        pin,
      }),
    });
  },
};
