import { type Action, atBench } from './action.ts';

/** Shows why the judgement in hand is what it is: limits, indication and probability in one picture. */
export const showWhy: Action = {
  id: 'show-why',
  key: 'F4',
  place: 'bar',
  label: () => 'action.showWhy',
  offered: (situation) => atBench(situation) && situation.measurement !== null,
  enabled: () => true,
  run(_situation, hands) {
    hands.open({ kind: 'why' });
  },
};
