import { type Action, atBench } from './action.ts';

/** Shows the earlier visits of this serial. */
export const showHistory: Action = {
  id: 'show-history',
  key: 'F6',
  place: 'bar',
  label: () => 'action.showHistory',
  offered: (situation) =>
    atBench(situation) && (situation.job !== null || situation.screen.lookedUp !== null),
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const serial = situation.job?.state.serial ?? situation.screen.lookedUp?.serial;
    if (serial === undefined) return;
    const answer = await hands.ask('timeline', { serial });
    if (answer !== null) hands.open({ kind: 'history', timeline: answer.value });
  },
};
