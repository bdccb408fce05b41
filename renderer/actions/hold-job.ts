import { type Action, atBench, toJob } from './action.ts';
import { askForCommand } from './ask-for-command.ts';

/** Puts the job on hold, as when a part is missing. */
export const holdJob: Action = {
  id: 'hold-job',
  key: 'F8',
  place: 'job menu',
  label: () => 'action.holdJob',
  offered: (situation) => atBench(situation) && ['step', 'complete'].includes(situation.phase),
  enabled: () => true,
  run(situation, hands) {
    const job = toJob(situation);
    if (job === null) return;
    askForCommand(hands, {
      title: 'action.holdJob',
      explanation: 'question.hold',
      fields: [{ name: 'reason', kind: 'text', label: 'field.reason', optional: true }],
      answer: ({ reason = '' }) => ({
        command: { kind: 'holdJob', ...job, ...(reason === '' ? {} : { reason }) },
      }),
    });
  },
};
