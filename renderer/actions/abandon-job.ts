import { type Action, atBench, toJob } from './action.ts';
import { askForCommand } from './ask-for-command.ts';

/** Ends the job without a release; the record stays and says why. */
export const abandonJob: Action = {
  id: 'abandon-job',
  key: 'Shift+F8',
  place: 'job menu',
  label: () => 'action.abandonJob',
  offered: (situation) => atBench(situation) && ['step', 'complete', 'held'].includes(situation.phase),
  enabled: () => true,
  run(situation, hands) {
    const job = toJob(situation);
    if (job === null) return;
    askForCommand(hands, {
      title: 'action.abandonJob',
      explanation: 'question.abandon',
      fields: [{ name: 'reason', kind: 'text', label: 'field.reason' }],
      answer: ({ reason = '' }) => ({ command: { kind: 'abandonJob', ...job, reason } }),
    });
  },
};
