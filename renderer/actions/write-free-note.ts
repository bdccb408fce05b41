import { type Action, atBench, toJob } from './action.ts';
import { askForCommand } from './ask-for-command.ts';

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
    askForCommand(hands, {
      title: 'action.writeFreeNote',
      explanation: 'question.note',
      fields: [{ name: 'text', kind: 'text', label: 'field.note' }],
      confirm: 'action.writeNote',
      answer: ({ text = '' }) => ({ command: { kind: 'writeNote', jobId: job.jobId, text } }),
    });
  },
};
