import type { Situation } from '../state/situation.ts';
import { type Action, atBench, type Hands } from './action.ts';

function move(situation: Situation, hands: Hands, by: 1 | -1): void {
  const count = situation.choices.length;
  const { choice } = situation.draft;
  const first = by === 1 ? 0 : count - 1;
  hands.setDraft({ choice: choice === null ? first : (choice + by + count) % count });
}

/** Chooses the next of several things. */
export const chooseNext: Action = {
  id: 'choose-next',
  key: 'ArrowDown',
  place: 'silent',
  label: () => 'action.chooseNext',
  offered: (situation) => atBench(situation) && situation.choices.length > 0,
  enabled: () => true,
  run: (situation, hands) => move(situation, hands, 1),
};

/** Chooses the one before. */
export const choosePrevious: Action = {
  id: 'choose-previous',
  key: 'ArrowUp',
  place: 'silent',
  label: () => 'action.choosePrevious',
  offered: (situation) => atBench(situation) && situation.choices.length > 0,
  enabled: () => true,
  run: (situation, hands) => move(situation, hands, -1),
};
