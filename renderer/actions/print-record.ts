import { type Action, atBench } from './action.ts';

/** Opens the service record as a document to print. */
export const printRecord: Action = {
  id: 'print-record',
  key: 'F3',
  place: 'bar',
  label: () => 'action.printRecord',
  offered: (situation) =>
    atBench(situation) && situation.phase === 'closed' && situation.job?.state.phase === 'released',
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const jobId = situation.job?.state.jobId;
    if (jobId === undefined) return;
    const answer = await hands.ask('document', { jobId, kind: 'record' });
    if (answer !== null) hands.openDocument(answer.value.url);
  },
};
