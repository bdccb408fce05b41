import { type Action, atBench } from './action.ts';

/** Leaves the PIN and goes back to the names. */
export const backToNames: Action = {
  id: 'back-to-names',
  key: 'Escape',
  place: 'bar',
  label: () => 'action.backToNames',
  offered: (situation) =>
    atBench(situation) && situation.phase === 'signed out' && situation.screen.signingIn !== null,
  enabled: () => true,
  run(_situation, hands) {
    hands.set({ signingIn: null, notice: null });
  },
};
