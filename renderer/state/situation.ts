import type { ImpactProgress } from '../../shared/audit/impact-view.ts';
import type { ExportProgress } from '../../shared/audit/view.ts';
import type {
  InstrumentView,
  JobInHandView,
  MeasurementView,
  PersonView,
  Snapshot,
  VerifyProgress,
} from '../../shared/contract.ts';
import type { StepState } from '../../shared/job/state.ts';
import { roles as allRoles } from '../../shared/people/role.ts';
import type { LocalizedText } from '../../shared/sheet/localized-text.ts';
import type { Step } from '../../shared/sheet/step.ts';
import type { Connection } from '../station-client.ts';
import type { MessageKey } from '../wording/english.ts';
import type { Parameters } from '../wording/wording.ts';
import { type Draft, emptyDraft, type ScreenName, type ScreenState } from './screen-store.ts';
import type { StationState } from './station-store.ts';

export type BenchPhase =
  | 'signed out'
  | 'start'
  | 'sheets'
  | 'step'
  | 'held'
  | 'complete'
  | 'closed'
  /** Nothing is set up yet, or what was set up is still to be read. */
  | 'first run'
  /** Nothing known yet. */
  | 'unknown';

/** Words of a sheet, of the catalogue, or a name as it is. Day and amount fill `{day}` and `{left}`, as printed there. */
export type ChoiceText =
  | string
  | LocalizedText
  | {
      readonly key: MessageKey;
      readonly left?: number;
      readonly unit?: string;
      readonly day?: string;
      readonly parameters?: Parameters;
    };

/** One of several things to choose by arrows and Enter. */
export interface Choice {
  readonly id: string;
  readonly label: ChoiceText;
  readonly detail?: ChoiceText;
}

/** All that decides what a person can do now; worked out anew from the two stores, never kept. */
export interface Situation {
  readonly connection: Connection;
  readonly snapshot: Snapshot | null;
  readonly screen: ScreenState;
  readonly phase: BenchPhase;
  readonly job: JobInHandView | null;
  readonly step: Step | null;
  readonly stepState: StepState | null;
  readonly measurement: MeasurementView | null;
  /** The instrument that the measured step in hand uses. */
  readonly instrument: InstrumentView | null;
  readonly choices: readonly Choice[];
  readonly draft: Draft;
  /** How far the newest export is. */
  readonly exported: ExportProgress | null;
  /** How far judging captures again is, or what came of it. */
  readonly impact: ImpactProgress | null;
  /** How far the check of the evidence is that was asked for here. */
  readonly verify: VerifyProgress | null;
}

/** Screens that another desk has: nothing of the bench is there. */
export function isAtOtherDesks(screen: ScreenName): boolean {
  return screen === 'audit' || screen === 'settings';
}

export function situationOf(station: StationState, state: ScreenState): Situation {
  const { snapshot, connection, exported, impact, verify } = station;
  const isElsewhere = snapshot?.readOnly === true && !isAtOtherDesks(state.screen);
  // Before anything is set up there is one question, and the settings with the language to read it in.
  const isAsked = snapshot?.firstRun !== undefined && state.screen !== 'settings';
  const screen: ScreenState = isElsewhere
    ? { ...state, screen: 'audit' }
    : isAsked
      ? { ...state, screen: 'bench' }
      : state;
  const job = snapshot?.jobInHand ?? null;
  const phase = phaseOf(snapshot, screen);
  const chosenId = stepsToChoose(job).find((stepId) => stepId === screen.chosenStepId);
  const stepId = chosenId ?? job?.state.currentStepId ?? null;
  const step = job?.sheet.steps.find((candidate) => candidate.stepId === stepId) ?? null;
  const stepState = job?.state.steps.find((candidate) => candidate.stepId === stepId) ?? null;
  // On hold or at its end a job measures nothing.
  const measures = phase === 'step' && job?.measurement?.stepId === stepId;
  const measurement = measures ? (job?.measurement ?? null) : null;
  const instrument =
    snapshot?.instruments.find(({ instrumentId }) => instrumentId === measurement?.instrumentId) ?? null;
  const moment = [
    screen.screen,
    phase,
    job?.state.jobId ?? screen.lookedUp?.serial ?? '',
    stepId ?? '',
    stepState?.attempts.length ?? '',
    phase === 'signed out' && screen.signingIn !== null ? 'pin' : '',
    phase === 'first run' ? screen.settingUp.page : '',
  ].join('|');
  return {
    connection,
    snapshot,
    exported,
    impact,
    verify,
    screen,
    phase,
    job,
    step,
    stepState,
    measurement,
    instrument,
    choices: screen.screen === 'bench' ? choicesOf(phase, snapshot, screen, step) : [],
    draft: screen.draft.moment === moment ? screen.draft : { ...emptyDraft, moment },
  };
}

/**
 * The steps that can be done now, in the order of the sheet: the one that the job stands at, and others that need no
 * instrument, since the station measures for the first alone.
 */
export function stepsToChoose(job: JobInHandView | null): readonly string[] {
  if (job === null || (job.state.phase !== 'open' && job.state.phase !== 'held')) return [];
  return job.state.steps
    .filter(
      ({ stepId, status, kind }) =>
        stepId === job.state.currentStepId ||
        ((status === 'ready' || status === 'failed') && kind !== 'mass' && kind !== 'torque'),
    )
    .map(({ stepId }) => stepId);
}

function phaseOf(snapshot: Snapshot | null, screen: ScreenState): BenchPhase {
  if (snapshot === null) return 'unknown';
  if (snapshot.firstRun !== undefined || screen.settingUp.page === 'done') return 'first run';
  if (snapshot.signedIn === null) return 'signed out';
  const state = snapshot.jobInHand?.state;
  if (state === undefined) return screen.lookedUp === null ? 'start' : 'sheets';
  if (state.phase === 'held') return 'held';
  if (state.phase !== 'open') return 'closed';
  return state.currentStepId === null ? 'complete' : 'step';
}

/** Those who work at the bench first: they sign in most. */
function byTrade(people: readonly PersonView[]): readonly PersonView[] {
  const rank = ({ roles }: PersonView) => Math.min(...roles.map((role) => allRoles.indexOf(role)));
  return [...people].sort((one, other) => rank(one) - rank(other));
}

const partChoiceLabels = {
  reuse: { key: 'step.disposition.reuse' },
  replace: { key: 'step.disposition.replace' },
  scrap: { key: 'step.disposition.scrap' },
} as const;

function choicesOf(
  phase: BenchPhase,
  snapshot: Snapshot | null,
  screen: ScreenState,
  step: Step | null,
): readonly Choice[] {
  switch (phase) {
    case 'first run':
      return screen.settingUp.page === 'choice' ? firstRunChoices(snapshot) : [];
    case 'signed out':
      if (screen.signingIn !== null) return [];
      return byTrade(snapshot?.people ?? []).map(({ personId, name }) => ({ id: personId, label: name }));
    case 'start':
      return (snapshot?.openJobs ?? []).map(({ jobId, serial, stepTitle }) => ({
        id: jobId,
        label: serial,
        ...(stepTitle === null ? {} : { detail: stepTitle }),
      }));
    case 'sheets':
      return (screen.lookedUp?.sheets ?? []).map(({ sheetId, headName, title }) => ({
        id: sheetId,
        label: headName,
        detail: title,
      }));
    case 'step':
      if (step?.kind === 'check') {
        return [
          { id: 'yes', label: { key: 'step.check.yes' } },
          { id: 'no', label: { key: 'step.check.no' } },
        ];
      }
      if (step?.kind === 'disposition') {
        return step.choices.map((choice) => ({ id: choice, label: partChoiceLabels[choice] }));
      }
      return step?.kind === 'consumable' ? lotChoices(screen, step.consumableId) : [];
    default:
      return [];
  }
}

function firstRunChoices(snapshot: Snapshot | null): readonly Choice[] {
  const { demoFolder = '', workshopFolder = '' } = snapshot?.firstRun ?? {};
  const detail = (key: MessageKey, folder: string) => ({ key, parameters: { folder } });
  return [
    {
      id: 'demo',
      label: { key: 'firstRun.demo' },
      detail: detail('firstRun.demoDetail', demoFolder),
    },
    {
      id: 'workshop',
      label: { key: 'firstRun.workshop' },
      detail: detail('firstRun.workshopDetail', workshopFolder),
    },
  ];
}

/** The lots of a material that may be used, the one that expires first on top. */
function lotChoices({ lots }: ScreenState, consumableId: string): readonly Choice[] {
  return (lots ?? [])
    .filter((lot) => lot.consumableId === consumableId && lot.refusal === null)
    .sort((one, other) => (one.usableUntil ?? '9999').localeCompare(other.usableUntil ?? '9999'))
    .map((lot) => {
      const left = { left: lot.remaining, unit: lot.unit };
      return {
        id: lot.lotId,
        label: lot.lotId,
        detail:
          lot.usableUntil === null
            ? { key: 'step.consumable.left', ...left }
            : { key: 'step.consumable.leftUntil', ...left, day: lot.usableUntil },
      };
    });
}

/** The choice made so far; a single possibility counts as made. */
export function chosen(situation: Situation): Choice | null {
  const { choices, draft } = situation;
  const index = draft.choice ?? (situation.phase === 'sheets' && choices.length === 1 ? 0 : null);
  return index === null ? null : (choices[index] ?? null);
}
