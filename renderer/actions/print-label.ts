import { type Action, atBench } from './action.ts';

/** Opens the tag label as a document to print. */
export const printLabel: Action = {
  id: 'print-label',
  key: 'Shift+F3',
  place: 'bar',
  label: () => 'action.printLabel',
  offered: (situation) =>
    atBench(situation) && situation.phase === 'closed' && situation.job?.state.phase === 'released',
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const jobId = situation.job?.state.jobId;
    if (jobId === undefined) return;
    const answer = await hands.ask('document', { jobId, kind: 'label' });
    if (answer !== null) hands.openDocument(answer.value.url);
  },
};
