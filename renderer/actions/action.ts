import type { CallName, CallParameters, LiveReading } from '../../shared/contract.ts';
import type { JobCommand } from '../../shared/job/command.ts';
import type { AuditState } from '../state/audit-state.ts';
import type { DeskState } from '../state/desk-state.ts';
import type { Dialog, Draft, Notice, ScreenState } from '../state/screen-store.ts';
import type { Situation } from '../state/situation.ts';
import type { CallFailure, CallOutcome } from '../station-client.ts';
import type { MessageKey } from '../wording/english.ts';
import type { Language } from '../wording/wording.ts';

/** Where the button of an action stands. `desk`: above a screen at a desk. `silent`: a key only, in the help sheet. */
export type Place = 'main' | 'bar' | 'head' | 'screens menu' | 'job menu' | 'simulator' | 'desk' | 'silent';

/** A picture as it lies in its file. */
export interface ChosenPicture {
  /** As the platform names it, such as `image/png`. */
  readonly mediaType: string;
  readonly bytes: Uint8Array;
}

/** What the person's hands can reach: the only way in which an action changes anything. */
export interface Hands {
  call<Name extends CallName>(name: Name, parameters: CallParameters<Name>): Promise<CallOutcome<Name>>;
  /** A call whose failure is said on the screen; null when it failed. */
  ask<Name extends CallName>(
    name: Name,
    parameters: CallParameters<Name>,
  ): Promise<{ readonly value: Extract<CallOutcome<Name>, { ok: true }>['value'] } | null>;
  /** A job command; true when it is written down. */
  command(command: JobCommand, by?: { pin?: string; personId?: string }): Promise<boolean>;
  set(change: Partial<ScreenState>): void;
  setDraft(change: Partial<Omit<Draft, 'moment'>>): void;
  /** Empties the draft and leaves standing what was said. */
  clearDraft(): void;
  open(dialog: Dialog): void;
  say(notice: Notice): void;
  /** The newest reading of an instrument. */
  reading(instrumentId: string | null): LiveReading | null;
  openDocument(url: string): void;
  /** Gives the person a file of the station. */
  download(url: string): void;
  /** Of this screen, for what the station writes to be read. */
  language(): Language;
  /** Changes what the audit screen shows and has chosen. */
  setAudit(change: Partial<AuditState>): void;
  /** Fetches anew what the screen of a lead or administrator shows. */
  loadDesk(): Promise<void>;
  /** Changes what such a screen has chosen. */
  setDesk(change: Partial<DeskState>): void;
  /** Gives the person a file. */
  saveFile(name: string, text: string): void;
  /** Lets the person choose a file; its text, or null when none was chosen. */
  readFile(types: string): Promise<string | null>;
  /** Lets the person choose a picture; null when none was chosen. */
  readPicture(): Promise<ChosenPicture | null>;
}

/** One thing a person can do. Button, key, menu and help sheet are all made from this. */
export interface Action {
  readonly id: string;
  /** As `keyOf` spells it: `F4`, `Shift+F9`, `Enter`. Null: reached by a menu. */
  readonly key: string | null;
  readonly place: Place;
  label(situation: Situation): MessageKey;
  /** Does it belong to this moment at all? */
  offered(situation: Situation): boolean;
  /** Can it be done now? A button that cannot is shown, and greyed. */
  enabled(situation: Situation): boolean;
  run(situation: Situation, hands: Hands): void | Promise<void>;
}

export function always(): boolean {
  return true;
}

/** Is this the bench with a step of that kind in hand, which this person may do? */
export function atStep(situation: Situation, kind: NonNullable<Situation['step']>['kind']): boolean {
  if (!atBench(situation) || situation.phase !== 'step' || situation.step?.kind !== kind) return false;
  return kind === 'signOff' || holdsJob(situation);
}

/** Is the job in the hands of who is signed in? After a hand-over it is not, though this screen still shows it. */
export function holdsJob({ job, snapshot }: Situation): boolean {
  return job !== null && job.state.holderPersonId === snapshot?.signedIn?.personId;
}

export function atBench(situation: Situation): boolean {
  return situation.screen.screen === 'bench';
}

/** The part of a command that says where it goes, and that nothing happened in between. */
export function toJob(situation: Situation): { jobId: string; expectedVersion: number } | null {
  const state = situation.job?.state;
  return state === undefined ? null : { jobId: state.jobId, expectedVersion: state.version };
}

export function toStep(
  situation: Situation,
): { jobId: string; expectedVersion: number; stepId: string } | null {
  const job = toJob(situation);
  return job === null || situation.step === null ? null : { ...job, stepId: situation.step.stepId };
}

/** A refusal made by the screen itself, before anything is sent. */
export function refusedHere(key: MessageKey): Notice {
  return { tone: 'refused', key };
}

/** For `Question.submit`: null when the call was answered, else why not. */
export function failureOf(outcome: CallOutcome<CallName>): CallFailure | null {
  return outcome.ok ? null : outcome.error;
}

/** May another capture be tried at the step in hand? */
export function attemptsLeft(situation: Situation): boolean {
  const state = situation.stepState;
  return state === null || state.maximumAttempts === null || state.attemptsUsed < state.maximumAttempts;
}
