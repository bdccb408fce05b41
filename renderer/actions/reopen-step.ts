import { permissions } from '../../shared/people/permission.ts';
import { type Action, atBench, toStep } from './action.ts';
import { askForCommand } from './ask-for-command.ts';
import { peopleWho } from './people-who.ts';

/** A lead lets the failed step be tried again although its attempts are used up. */
export const reopenStep: Action = {
  id: 'reopen-step',
  key: 'Shift+F7',
  place: 'job menu',
  label: () => 'action.reopenStep',
  offered: (situation) => atBench(situation) && situation.phase === 'step',
  enabled: (situation) => situation.stepState?.status === 'failed',
  run(situation, hands) {
    const step = toStep(situation);
    if (step === null) return;
    askForCommand(hands, {
      title: 'action.reopenStep',
      explanation: 'question.reopen',
      fields: [
        {
          name: 'personId',
          kind: 'person',
          label: 'field.lead',
          people: peopleWho(situation, permissions.grantConcession),
        },
        { name: 'reason', kind: 'text', label: 'field.reason' },
        { name: 'pin', kind: 'pin', label: 'field.pin' },
      ],
      answer: ({ personId = '', reason = '', pin = '' }) => ({
        command: { kind: 'reopenStep', ...step, reason },
        personId,
        pin,
      }),
    });
  },
};
