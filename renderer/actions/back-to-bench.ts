import { type Action, atBench } from './action.ts';

/** Goes back to the bench from any other screen. */
export const backToBench: Action = {
  id: 'back-to-bench',
  key: 'Escape',
  place: 'bar',
  label: () => 'action.backToBench',
  offered: (situation) => !atBench(situation),
  enabled: () => true,
  run(_situation, hands) {
    hands.set({ screen: 'bench', notice: null });
  },
};
