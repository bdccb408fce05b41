import { type Action, atBench, refusedHere, toJob } from './action.ts';

/** Releases the head with the PIN: every mandatory step is passed or conceded, the record is closed and signed. */
export const releaseJob: Action = {
  id: 'release-job',
  key: 'Enter',
  place: 'main',
  label: () => 'action.releaseJob',
  offered: (situation) => atBench(situation) && situation.phase === 'complete',
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const job = toJob(situation);
    const pin = situation.draft.text;
    if (job === null) return;
    if (pin === '') {
      hands.say(refusedHere('refusal.pinMissing'));
      return;
    }
    const done = await hands.command({ kind: 'releaseJob', ...job }, { pin });
    if (!done) hands.clearDraft();
  },
};
