import { permissions } from '../../shared/people/permission.ts';
import { type Action, atBench, toJob } from './action.ts';
import { askForCommand } from './ask-for-command.ts';
import { peopleWho } from './people-who.ts';

/** Hands the job over to another person, who answers for it from then on. */
export const handOverJob: Action = {
  id: 'hand-over-job',
  key: 'Shift+F6',
  place: 'job menu',
  label: () => 'action.handOverJob',
  offered: (situation) => atBench(situation) && ['step', 'complete', 'held'].includes(situation.phase),
  enabled: () => true,
  run(situation, hands) {
    const job = toJob(situation);
    if (job === null) return;
    const holder = situation.job?.state.holderPersonId;
    askForCommand(hands, {
      title: 'action.handOverJob',
      explanation: 'question.handOver',
      fields: [
        {
          name: 'toPersonId',
          kind: 'person',
          label: 'field.toPerson',
          people: peopleWho(situation, permissions.resumeJob).filter(({ personId }) => personId !== holder),
        },
        { name: 'remark', kind: 'text', label: 'field.remark', optional: true },
      ],
      answer: ({ toPersonId = '', remark = '' }) => ({
        command: { kind: 'handOverJob', ...job, toPersonId, ...(remark === '' ? {} : { remark }) },
      }),
    });
  },
};
