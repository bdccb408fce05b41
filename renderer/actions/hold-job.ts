import { type Action, atBench, failureOf, toJob } from './action.ts';

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
    hands.open({
      kind: 'question',
      question: {
        title: 'action.holdJob',
        explanation: 'question.hold',
        fields: [{ name: 'reason', kind: 'text', label: 'field.reason', optional: true }],
        confirm: 'action.holdJob',
        submit: async ({ reason = '' }) =>
          failureOf(
            await hands.call('command', {
              command: { kind: 'holdJob', ...job, ...(reason === '' ? {} : { reason }) },
            }),
          ),
      },
    });
  },
};
