import { type Action, atBench, failureOf, toJob } from './action.ts';

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
    hands.open({
      kind: 'question',
      question: {
        title: 'action.abandonJob',
        explanation: 'question.abandon',
        fields: [{ name: 'reason', kind: 'text', label: 'field.reason' }],
        confirm: 'action.abandonJob',
        submit: async ({ reason = '' }) =>
          failureOf(await hands.call('command', { command: { kind: 'abandonJob', ...job, reason } })),
      },
    });
  },
};
