import { chosenInstrument } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { atDesk, signedInMay } from './manage.ts';

/** Enters a calibration certificate of the chosen instrument. */
export const addCertificate: Action = {
  id: 'add-certificate',
  key: 'F4',
  place: 'desk',
  label: () => 'action.addCertificate',
  offered: (situation) => atDesk(situation, 'instruments'),
  enabled: (situation) =>
    signedInMay(situation, 'addCertificate') && chosenInstrument(situation.screen.desk)?.retired === null,
  run({ screen }, hands) {
    const instrument = chosenInstrument(screen.desk);
    if (instrument !== undefined) {
      hands.open({ kind: 'certificate', instrumentId: instrument.instrumentId });
    }
  },
};
