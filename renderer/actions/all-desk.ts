import type { Action } from './action.ts';
import { addCertificate } from './add-certificate.ts';
import { addPerson } from './add-person.ts';
import { assignInstrument } from './assign-instrument.ts';
import { blockLot } from './block-lot.ts';
import { checkInstrument } from './check-instrument.ts';
import { concedeInstrument } from './concede-instrument.ts';
import { deactivatePerson } from './deactivate-person.ts';
import { openLot } from './open-lot.ts';
import { receiveLot } from './receive-lot.ts';
import { correctInstrument, registerInstrument } from './register-instrument.ts';
import { retireInstrument } from './retire-instrument.ts';
import { setBadge } from './set-badge.ts';
import { setOwnPin, setPin } from './set-pin.ts';
import { setRoles } from './set-roles.ts';

/** What leads and administrators can do on their screens, in the order in which it is shown. */
export const deskActions: readonly Action[] = [
  checkInstrument,
  addCertificate,
  concedeInstrument,
  assignInstrument,
  registerInstrument,
  correctInstrument,
  retireInstrument,
  receiveLot,
  openLot,
  blockLot,
  addPerson,
  setRoles,
  setBadge,
  setPin,
  setOwnPin,
  deactivatePerson,
];
