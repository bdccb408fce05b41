import { chosenInstrument } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { atDesk, signedInMay } from './manage.ts';

/** This bench uses the chosen scale or wrench from now on. */
export const assignInstrument: Action = {
  id: 'assign-instrument',
  key: 'F6',
  place: 'desk',
  label: () => 'action.assignInstrument',
  offered: (situation) => atDesk(situation, 'instruments'),
  enabled: (situation) => {
    const instrument = chosenInstrument(situation.screen.desk);
    return (
      instrument?.retired === null &&
      signedInMay(situation, 'openJob') &&
      situation.snapshot?.assigned[instrument.entry.kind] !== instrument.instrumentId
    );
  },
  async run({ screen }, hands) {
    const instrument = chosenInstrument(screen.desk);
    if (instrument !== undefined) {
      await hands.ask('assignInstrument', { instrumentId: instrument.instrumentId });
    }
  },
};
