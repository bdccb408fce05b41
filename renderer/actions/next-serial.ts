import { type Action, atBench } from './action.ts';

/** Leaves a closed job and waits for the next serial. */
export const nextSerial: Action = {
  id: 'next-serial',
  key: 'Enter',
  place: 'main',
  label: () => 'action.nextSerial',
  offered: (situation) => atBench(situation) && situation.phase === 'closed',
  enabled: (situation) => !situation.screen.busy,
  async run(_situation, hands) {
    const answer = await hands.ask('takeInHand', { jobId: null });
    if (answer !== null) hands.set({ outcome: null, lookedUp: null });
  },
};
