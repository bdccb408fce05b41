import { type Action, always } from './action.ts';

/** Shows the other screens to go to. */
export const showScreens: Action = {
  id: 'show-screens',
  key: 'F2',
  place: 'head',
  label: () => 'action.showScreens',
  offered: always,
  enabled: always,
  run(_situation, hands) {
    hands.open({ kind: 'menu', menu: 'screens' });
  },
};
