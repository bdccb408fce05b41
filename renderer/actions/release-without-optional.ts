import { type Action, atBench, failureOf, toJob } from './action.ts';

/** Releases the head while only optional steps are left. */
export const releaseWithoutOptional: Action = {
  id: 'release-without-optional',
  key: 'Ctrl+Enter',
  place: 'bar',
  label: () => 'action.releaseWithoutOptional',
  offered: (situation) =>
    atBench(situation) && situation.phase === 'step' && situation.step?.mandatory === false,
  enabled: () => true,
  run(situation, hands) {
    const job = toJob(situation);
    if (job === null) return;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.releaseWithoutOptional',
        explanation: 'question.releaseWithoutOptional',
        fields: [{ name: 'pin', kind: 'pin', label: 'field.pin' }],
        confirm: 'action.releaseJob',
        submit: async ({ pin = '' }) =>
          failureOf(await hands.call('command', { command: { kind: 'releaseJob', ...job }, pin })),
      },
    });
  },
};
