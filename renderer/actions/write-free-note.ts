import { type Action, atBench, failureOf, toJob } from './action.ts';

/** Writes a note that no step asked for. */
export const writeFreeNote: Action = {
  id: 'write-free-note',
  key: 'Shift+F2',
  place: 'job menu',
  label: () => 'action.writeFreeNote',
  offered: (situation) => atBench(situation) && ['step', 'complete', 'held'].includes(situation.phase),
  enabled: () => true,
  run(situation, hands) {
    const job = toJob(situation);
    if (job === null) return;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.writeFreeNote',
        explanation: 'question.note',
        fields: [{ name: 'text', kind: 'text', label: 'field.note' }],
        confirm: 'action.writeNote',
        submit: async ({ text = '' }) =>
          failureOf(await hands.call('command', { command: { kind: 'writeNote', jobId: job.jobId, text } })),
      },
    });
  },
};
