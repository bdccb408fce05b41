import { type Action, atBench } from './action.ts';

/** Puts the job aside as it stands and goes back to the serial; nothing is lost. */
export const putAside: Action = {
  id: 'put-aside',
  key: 'Escape',
  place: 'bar',
  label: (situation) => (situation.phase === 'sheets' ? 'action.backToSerial' : 'action.putAside'),
  offered: (situation) =>
    atBench(situation) && ['sheets', 'step', 'complete', 'held'].includes(situation.phase),
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    if (situation.phase === 'sheets') {
      hands.set({ lookedUp: null, notice: null });
      return;
    }
    const answer = await hands.ask('takeInHand', { jobId: null });
    if (answer !== null) hands.set({ outcome: null, notice: null, lookedUp: null });
  },
};
