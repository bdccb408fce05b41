import { createStore } from 'zustand/vanilla';
import type { SerialView, TimelineView } from '../../shared/contract.ts';
import type { LotView } from '../../shared/management-view.ts';
import type { CallFailure } from '../station-client.ts';
import type { MessageKey } from '../wording/english.ts';
import type { Parameters } from '../wording/wording.ts';
import { type AuditState, emptyAudit } from './audit-state.ts';
import { type DeskState, emptyDesk } from './desk-state.ts';
import type { Outcome } from './outcome.ts';
import { beginning, type SettingUp } from './setting-up.ts';
import type { RefusedSheet } from './sheet-draft.ts';
import type { ChoiceText } from './situation.ts';

export const screenNames = [
  'bench',
  'audit',
  'instruments',
  'teach',
  'sheets',
  'stock',
  'people',
  'health',
  'settings',
] as const;
export type ScreenName = (typeof screenNames)[number];
export type MenuName = 'screens' | 'job';

/** What a person has typed or chosen and not yet entered; it belongs to one moment and is empty at the next. */
export interface Draft {
  readonly moment: string;
  readonly text: string;
  readonly second: string;
  readonly choice: number | null;
}

/** Something said once: a refusal, a fault, or what has been done. */
export type Notice =
  | {
      readonly tone: 'refused';
      readonly failure: CallFailure;
      /** The sheet that was refused, so that its steps and fields are called by their names. */
      readonly sheet?: RefusedSheet | undefined;
    }
  | {
      readonly tone: 'refused' | 'done';
      readonly key: MessageKey;
      readonly parameters?: Parameters | undefined;
    };

export interface QuestionField {
  readonly name: string;
  /** `several`: values with blanks between. `number`: answered as canonical decimal text. `day`: ISO 8601. */
  readonly kind: 'text' | 'pin' | 'person' | 'choice' | 'several' | 'number' | 'day';
  readonly label: MessageKey;
  /** For `person`: who can be chosen. */
  readonly people?: readonly { readonly personId: string; readonly name: string }[];
  /** For `choice` and `several`. */
  readonly choices?: readonly { readonly value: string; readonly label: ChoiceText }[];
  readonly optional?: boolean;
  /** A badge, lot or serial number is scanned here. */
  readonly scanned?: boolean;
  /** What stands there at first; a number as canonical decimal text. */
  readonly initial?: string;
}

/** A few fields asked for in a dialog before something is done. */
export interface Question {
  readonly title: MessageKey;
  readonly explanation: MessageKey;
  /** Fill the placeholders of the explanation. */
  readonly parameters?: Parameters;
  /** What is to be known besides. */
  readonly warning?: ChoiceText | undefined;
  readonly fields: readonly QuestionField[];
  readonly confirm: MessageKey;
  /** Does it; resolves to null when done, else to why not. */
  submit(values: Readonly<Record<string, string>>): Promise<CallFailure | null>;
}

export type Dialog =
  | { readonly kind: 'help' }
  | { readonly kind: 'why' }
  | { readonly kind: 'menu'; readonly menu: MenuName }
  | { readonly kind: 'history'; readonly timeline: TimelineView }
  | { readonly kind: 'question'; readonly question: Question }
  | { readonly kind: 'certificate'; readonly instrumentId: string };

/** Where this page is: nothing of it is kept when it closes. */
export interface ScreenState {
  readonly screen: ScreenName;
  readonly dialog: Dialog | null;
  readonly notice: Notice | null;
  readonly draft: Draft;
  /** Who is about to sign in: chosen or scanned, the PIN still missing. */
  readonly signingIn: { readonly personId?: string; readonly badge?: string; readonly name: string } | null;
  /** How far the first run is. */
  readonly settingUp: SettingUp;
  /** A step chosen by the person where several can be done; null: the one that the job stands at. */
  readonly chosenStepId: string | null;
  /** The serial just entered at the start, before a job is opened. */
  readonly lookedUp: SerialView | null;
  /** What is in stock, fetched when a material is asked for; null before. */
  readonly lots: readonly LotView[] | null;
  /** The newest result of the job in hand, shown until the next action. */
  readonly outcome: Outcome | null;
  /** What the audit screen shows and has chosen. */
  readonly audit: AuditState;
  /** What the screens of leads and administrators show and have chosen. */
  readonly desk: DeskState;
  /** A call is under way: Enter does nothing twice. */
  readonly busy: boolean;
}

/** What changes when the dialog is closed: what it said of a scan goes with it. */
export function closedDialog({ notice }: Pick<ScreenState, 'notice'>): Partial<ScreenState> {
  return { dialog: null, ...(isUnusedScan(notice) ? { notice: null } : {}) };
}

/** Does the notice speak of a scan that had nowhere to go? */
export function isUnusedScan(notice: Notice | null): boolean {
  return notice !== null && 'key' in notice && notice.key === 'scan.unused';
}

export const emptyDraft: Draft = { moment: '', text: '', second: '', choice: null };

export function createScreenStore(screen: ScreenName = 'bench') {
  return createStore<ScreenState>(() => ({
    screen,
    dialog: null,
    notice: null,
    draft: emptyDraft,
    signingIn: null,
    settingUp: beginning,
    chosenStepId: null,
    lookedUp: null,
    lots: null,
    outcome: null,
    audit: emptyAudit,
    desk: emptyDesk,
    busy: false,
  }));
}
export type ScreenStore = ReturnType<typeof createScreenStore>;
