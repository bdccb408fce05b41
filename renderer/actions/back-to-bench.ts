import { type Action, atBench } from './action.ts';
import { atSheetEditor } from './manage-sheets.ts';

/** Goes back to the bench from any other screen. */
export const backToBench: Action = {
  id: 'back-to-bench',
  key: 'Escape',
  place: 'bar',
  label: () => 'action.backToBench',
  offered: (situation) =>
    !atBench(situation) && !atSheetEditor(situation) && situation.snapshot?.readOnly !== true,
  enabled: () => true,
  run(_situation, hands) {
    hands.set({ screen: 'bench', notice: null });
  },
};
