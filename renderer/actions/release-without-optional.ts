import { type Action, atBench, toJob } from './action.ts';
import { askForCommand } from './ask-for-command.ts';

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
    askForCommand(hands, {
      title: 'action.releaseWithoutOptional',
      explanation: 'question.releaseWithoutOptional',
      fields: [{ name: 'pin', kind: 'pin', label: 'field.pin' }],
      confirm: 'action.releaseJob',
      answer: ({ pin = '' }) => ({ command: { kind: 'releaseJob', ...job }, pin }),
    });
  },
};
