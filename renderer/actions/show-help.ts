import { type Action, always } from './action.ts';

/** Shows every key that works now. */
export const showHelp: Action = {
  id: 'show-help',
  key: 'F1',
  place: 'head',
  label: () => 'action.showHelp',
  offered: always,
  enabled: always,
  run(_situation, hands) {
    hands.open({ kind: 'help' });
  },
};
