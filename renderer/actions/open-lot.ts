import { chosenLot } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { atDesk, manageAtOnce, signedInMay } from './manage.ts';

/** Notes that the chosen lot is open from now on: the days that it keeps begin. */
export const openLot: Action = {
  id: 'open-lot',
  key: 'F4',
  place: 'desk',
  label: () => 'action.openLot',
  offered: (situation) => atDesk(situation, 'stock'),
  enabled: (situation) => {
    const lot = chosenLot(situation.screen.desk);
    return (
      signedInMay(situation, 'openLot') &&
      lot?.openedAt === null &&
      lot.refusal === null &&
      !situation.screen.busy
    );
  },
  async run({ screen }, hands) {
    const lotId = chosenLot(screen.desk)?.lotId;
    if (lotId === undefined) return;
    await manageAtOnce(
      hands,
      { kind: 'openLot', lotId },
      { key: 'stock.saidOpened', parameters: { lot: lotId } },
    );
  },
};
