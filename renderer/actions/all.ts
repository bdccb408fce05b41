import type { DecimalSign } from '../../shared/quantity/typed-number.ts';
import type { Situation } from '../state/situation.ts';
import { abandonJob } from './abandon-job.ts';
import { acknowledgeCaution } from './acknowledge-caution.ts';
import type { Action, Place } from './action.ts';
import { auditActions } from './all-audit.ts';
import { deskActions } from './all-desk.ts';
import { answerCheck } from './answer-check.ts';
import { backToBench } from './back-to-bench.ts';
import { backToNames } from './back-to-names.ts';
import { captureMass } from './capture-mass.ts';
import { captureTorque } from './capture-torque.ts';
import { confirmInstruction } from './confirm-instruction.ts';
import { continueSignIn } from './continue-sign-in.ts';
import { disposePart } from './dispose-part.ts';
import { enterSerial } from './enter-serial.ts';
import { findReadings } from './find-readings.ts';
import { backInFirstRun, continueFirstRun } from './first-run.ts';
import { goToScreens } from './go-to-screen.ts';
import { grantConcession } from './grant-concession.ts';
import { handOverJob } from './hand-over-job.ts';
import { holdJob } from './hold-job.ts';
import { chooseNext, choosePrevious } from './move-choice.ts';
import { nextSerial } from './next-serial.ts';
import { openJob } from './open-job.ts';
import { otherStep } from './other-step.ts';
import { printLabel } from './print-label.ts';
import { printRecord } from './print-record.ts';
import { putAside } from './put-aside.ts';
import { recordNumeric } from './record-numeric.ts';
import { releaseJob } from './release-job.ts';
import { releaseWithoutOptional } from './release-without-optional.ts';
import { reopenStep } from './reopen-step.ts';
import { resumeJob } from './resume-job.ts';
import { showHelp } from './show-help.ts';
import { showHistory } from './show-history.ts';
import { showJobMenu } from './show-job-menu.ts';
import { showScreens } from './show-screens.ts';
import { showWhy } from './show-why.ts';
import { signIn } from './sign-in.ts';
import { signOffByOther } from './sign-off-by-other.ts';
import { signOffStep } from './sign-off-step.ts';
import { signOut } from './sign-out.ts';
import { simulate } from './simulate.ts';
import { stopVerify } from './stop-verify.ts';
import { takeTare } from './take-tare.ts';
import { takeTareAgain } from './take-tare-again.ts';
import { tareInstrument } from './tare-instrument.ts';
import { useConsumable } from './use-consumable.ts';
import { verifyEvidence } from './verify-evidence.ts';
import { writeFreeNote } from './write-free-note.ts';
import { writeNote } from './write-note.ts';

/** Everything a person can do, in the order in which it is shown. */
export function allActions(decimalSign: () => DecimalSign): readonly Action[] {
  return [
    continueFirstRun,
    backInFirstRun,
    continueSignIn,
    signIn,
    enterSerial,
    openJob,
    acknowledgeCaution,
    confirmInstruction,
    answerCheck,
    disposePart,
    useConsumable,
    takeTare,
    captureMass,
    captureTorque,
    recordNumeric(decimalSign),
    writeNote,
    signOffStep,
    resumeJob,
    releaseJob,
    nextSerial,
    findReadings,
    backToNames,
    putAside,
    backToBench,
    tareInstrument,
    printRecord,
    printLabel,
    showWhy,
    showHistory,
    releaseWithoutOptional,
    verifyEvidence,
    stopVerify,
    ...auditActions,
    ...deskActions,
    showJobMenu,
    otherStep,
    holdJob,
    takeTareAgain,
    grantConcession,
    reopenStep,
    signOffByOther,
    handOverJob,
    writeFreeNote,
    abandonJob,
    showHelp,
    showScreens,
    ...goToScreens,
    signOut,
    chooseNext,
    choosePrevious,
    ...simulate,
  ];
}

/** The actions that belong to this moment, at one place or at all of them. */
export function offeredActions(
  actions: readonly Action[],
  situation: Situation,
  place?: Place,
): readonly Action[] {
  return actions.filter(
    (action) => (place === undefined || action.place === place) && action.offered(situation),
  );
}

/** The actions that can be done at this moment: what the help sheet calls the keys that work now. */
export function workingActions(actions: readonly Action[], situation: Situation): readonly Action[] {
  return offeredActions(actions, situation).filter((action) => action.enabled(situation));
}

/** The action of that key at this moment, if it can be done. */
export function actionOfKey(
  actions: readonly Action[],
  situation: Situation,
  key: string,
): Action | undefined {
  return offeredActions(actions, situation).find((action) => action.key === key && action.enabled(situation));
}
