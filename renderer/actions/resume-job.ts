import { type Action, atBench, toJob } from './action.ts';

/** Goes on with a job that is on hold. */
export const resumeJob: Action = {
  id: 'resume-job',
  key: 'Enter',
  place: 'main',
  label: () => 'action.resumeJob',
  offered: (situation) => atBench(situation) && situation.phase === 'held',
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const job = toJob(situation);
    if (job !== null) await hands.command({ kind: 'resumeJob', ...job });
  },
};
