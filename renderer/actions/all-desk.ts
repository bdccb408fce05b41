import type { Action } from './action.ts';
import { addCertificate } from './add-certificate.ts';
import { addPerson } from './add-person.ts';
import { approveSheet } from './approve-sheet.ts';
import { assignInstrument } from './assign-instrument.ts';
import { blockLot } from './block-lot.ts';
import { checkInstrument } from './check-instrument.ts';
import { concedeInstrument } from './concede-instrument.ts';
import { deactivatePerson } from './deactivate-person.ts';
import { copySheet, editSheet } from './edit-sheet.ts';
import { exportSheet, importSheet } from './exchange-sheet.ts';
import { lookAgain } from './look-again.ts';
import { newSheet } from './new-sheet.ts';
import { openLot } from './open-lot.ts';
import { receiveLot } from './receive-lot.ts';
import { correctInstrument, registerInstrument } from './register-instrument.ts';
import { retireInstrument } from './retire-instrument.ts';
import { returnSheet, withdrawSheet } from './return-sheet.ts';
import { setBadge } from './set-badge.ts';
import { setOwnPin, setPin } from './set-pin.ts';
import { setRoles } from './set-roles.ts';
import { showImpact } from './show-impact.ts';
import { submitSheet } from './submit-sheet.ts';
import {
  confirmDisplay,
  listenToPort,
  movePractice,
  registerTaught,
  saveProfile,
  stopListening,
} from './teach-instrument.ts';
import {
  addStep,
  discardSheet,
  leaveSheet,
  moveStepDown,
  moveStepUp,
  removeStep,
  saveSheet,
  toggleSheetJson,
} from './write-sheet.ts';

/** What leads and administrators can do on their screens, in the order in which it is shown. */
export const deskActions: readonly Action[] = [
  checkInstrument,
  addCertificate,
  concedeInstrument,
  assignInstrument,
  registerInstrument,
  correctInstrument,
  retireInstrument,
  showImpact,
  listenToPort,
  stopListening,
  confirmDisplay,
  saveProfile,
  registerTaught,
  movePractice,
  editSheet,
  copySheet,
  newSheet,
  submitSheet,
  approveSheet,
  returnSheet,
  importSheet,
  exportSheet,
  withdrawSheet,
  saveSheet,
  addStep,
  moveStepUp,
  moveStepDown,
  removeStep,
  toggleSheetJson,
  discardSheet,
  leaveSheet,
  receiveLot,
  openLot,
  blockLot,
  addPerson,
  setRoles,
  setBadge,
  setPin,
  setOwnPin,
  deactivatePerson,
  lookAgain,
];
