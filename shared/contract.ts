import { z } from 'zod';
import type { Band } from './acceptance/band.ts';
import type { Budget } from './acceptance/budget.ts';
import type { Judgement } from './acceptance/judgement.ts';
import type { DecisionRule } from './acceptance/rule.ts';
import {
  auditFilterSchema,
  chartWishSchema,
  exportWishSchema,
  type SavedView,
  savedViewSchema,
} from './audit/filter.ts';
import type { Finding } from './audit/finding.ts';
import { type CalibratedInstrumentView, type ImpactProgress, impactWishSchema } from './audit/impact-view.ts';
import type { ProblemKind } from './audit/problem-kind.ts';
import type {
  ChartView,
  CheckChartView,
  ExportProgress,
  SearchChoicesView,
  SearchPageView,
  SiteChainView,
  SiteLotView,
  VisitPlaceView,
} from './audit/view.ts';
import { type FirstRunView, setUpSchema } from './first-run.ts';
import type { HealthView } from './health-view.ts';
import { identifierSchema } from './identifier.ts';
import type { IndicationState, RejectionReason } from './indication.ts';
import { jobCommandSchema } from './job/command.ts';
import type { JobState } from './job/state.ts';
import { managementCommandSchema } from './management-command.ts';
import type {
  LotUseView,
  LotView,
  PersonAccountView,
  RegisteredInstrumentView,
  SheetRevisionsView,
} from './management-view.ts';
import type { Role } from './people/role.ts';
import type { PortState } from './port-state.ts';
import { type Quantity, type Unit, unitSchema } from './quantity/unit.ts';
import type { Refusal } from './result.ts';
import { type LocalizedText, localizedTextSchema } from './sheet/localized-text.ts';
import type { ServiceSheet } from './sheet/sheet.ts';
import {
  characterFormats,
  type HidLackView,
  type InstrumentLineView,
  type PortView,
  type ProfileView,
  type TeachView,
} from './teach-view.ts';

/**
 * What station and screens say to each other, over one WebSocket, one JSON text each.
 * A screen calls; the station answers each call once and pushes news. Nothing else is understood.
 */

const identifier = z.string().min(1).max(120);
const serialText = z.string().trim().min(1).max(60);
/** At the desk of a site: which station is asked about. */
const ofStation = { stationId: identifier.optional() };

/** What a screen may ask for. The station checks the shape here and the role in `shared/people/permission.ts`. */
export const callParameters = {
  /** Badge (typed by a scanner) or a chosen person, and the PIN. */
  signIn: z.strictObject({
    personId: identifier.optional(),
    badge: identifier.optional(),
    pin: z.string().max(20),
  }),
  signOut: z.strictObject({}),
  /** What is known of a serial: its visits, the sheets that fit, a job already open. */
  lookUpSerial: z.strictObject({ serial: serialText }),
  /** A job command; captures are completed by the station with the live evidence. */
  command: z.strictObject({
    command: jobCommandSchema,
    pin: z.string().max(20).optional(),
    /** Another person who steps up to this screen for this one command (a lead's concession), with their PIN. */
    personId: identifier.optional(),
  }),
  /** Puts an open or held job in hand on this screen; null puts it aside. */
  takeInHand: z.strictObject({ jobId: identifier.nullable() }),
  /** Chooses which scale or wrench this bench uses. */
  assignInstrument: z.strictObject({ instrumentId: identifier }),
  /** Tare or zero at the instrument itself, where its profile has a request for it. */
  adjustInstrument: z.strictObject({ instrumentId: identifier, action: z.enum(['tare', 'zero']) }),
  /** Moves a simulated instrument, as a hand would. Refused for real ones. */
  simulate: z.strictObject({
    instrumentId: identifier,
    action: z.enum([
      'dish on',
      'dish off',
      'squeeze',
      'remove some',
      'tare',
      'pull',
      'weak pull',
      'unplug',
      'replug',
    ]),
  }),
  /** Every captured reading of a serial, for the audit screen. */
  timeline: z.strictObject({ serial: serialText }),
  /** Serials that begin with a text, newest first. */
  findSerials: z.strictObject({ text: z.string().trim().max(60) }),
  /** Jobs that meet a filter, newest first, one page; `before` is where the page before ended. */
  searchJobs: z.strictObject({
    filter: auditFilterSchema,
    before: z.int().positive().nullable(),
  }),
  /** What there is to choose from in a filter. */
  searchChoices: z.strictObject({}),
  /** Control chart and capability of the newest readings that meet a filter. */
  processChart: chartWishSchema,
  /** The checks of an instrument with known masses or torques. */
  checkChart: z.strictObject({ instrumentId: identifier, ...ofStation }),
  /** Instruments with their calibrations and what was found before adjustment. */
  calibratedInstruments: z.strictObject({ ...ofStation }),
  /** The filters that this person keeps under names. */
  savedViews: z.strictObject({}),
  saveView: z.strictObject({ view: savedViewSchema }),
  removeView: z.strictObject({ name: z.string().trim().min(1).max(60) }),
  /** Exports readings or a bundle; answers at once, progress and the address to fetch come as news. */
  startExport: exportWishSchema,
  /** Judges captures again with an as-found error; answers at once, progress, report and a file come as news. */
  startImpact: impactWishSchema,
  /** Stops an export or judging again. */
  stopExport: z.strictObject({ exportId: identifier }),
  /** Every visit of a serial as one PDF; answers with an address to fetch. */
  serialDocument: z.strictObject({ serial: serialText, language: z.enum(['en', 'de']) }),
  /** Checks chain, signatures and replay; answers at once, progress and result come as news. */
  verify: z.strictObject({
    /** At a desk of a site: which of its chains. */
    chainId: z.int().positive().optional(),
  }),
  /** The chains that a site has, of every station; at its desk alone. */
  siteChains: z.strictObject({}),
  /** A lot at every bench that used it, with the jobs; at the desk of a site alone. */
  siteLot: z.strictObject({ lotId: identifierSchema }),
  /** Stops the check that this person started. */
  stopVerify: z.strictObject({}),
  /** The service record of a job as PDF, or its tag label; answers with an address to fetch. */
  document: z.strictObject({ jobId: identifier, kind: z.enum(['record', 'label']) }),
  /** The newest revision of every service sheet, for the sheets screen. */
  sheets: z.strictObject({}),
  /** A command of a lead or administrator (some of all): accounts, register of instruments, lots, sheets. */
  manage: z.strictObject({
    command: managementCommandSchema,
    /** For the commands of `shared/people/signature.ts`: of whoever gives the command. */
    pin: z.string().max(20).optional(),
    /** Another person who steps up to this screen for this one command, with their PIN. */
    personId: identifier.optional(),
  }),
  /** The register of instruments with certificates, checks and concessions. */
  register: z.strictObject({}),
  /** Ports of this computer, who holds them, and the profiles that a new instrument may have. */
  ports: z.strictObject({}),
  /** The last lines of an instrument, believed or not. */
  instrumentLines: z.strictObject({ instrumentId: identifier }),
  /** What is known of the instrument being taught; while nobody asks, its port is let go after a minute. */
  teach: z.strictObject({}),
  /** Listens to a port that no instrument holds. */
  teachListen: z.strictObject({
    portId: z.string().min(1).max(300),
    baud: z.int().min(50).max(4_000_000),
    format: z.enum(characterFormats),
  }),
  teachStop: z.strictObject({}),
  /** What a person read on the display when so many bytes had been heard. */
  teachConfirm: z.strictObject({
    heardBytes: z.int().nonnegative(),
    text: z.string().trim().min(1).max(40),
    unit: unitSchema,
    state: z.enum(['stable', 'unstable']).nullable(),
  }),
  /** Keeps what was learned as a profile; again under the same name, it is its next revision. */
  teachSave: z.strictObject({
    name: identifierSchema,
    title: localizedTextSchema,
    /** What a line of a wrench is. */
    torque: z.enum(['track', 'peak']).nullable(),
    /** Division of a scale that shows no state, as decimal text in the unit of its display. */
    division: z
      .string()
      .regex(/^\d+(\.\d+)?$/)
      .nullable(),
  }),
  /** The stock by lot, with every use. */
  lots: z.strictObject({}),
  lotUses: z.strictObject({ lotId: identifierSchema }),
  /** Every revision of one sheet, or of all, drafts too, with what each changed. */
  sheetRevisions: z.strictObject({ sheetId: identifier.optional() }),
  /** The accounts, for the administrator. */
  peopleAdmin: z.strictObject({}),
  /** Looks anew whether anything needs somebody to act, as the command `doctor` does. */
  health: z.strictObject({}),
  /** What an empty data folder shall become; refused everywhere else. */
  setUp: setUpSchema,
} as const;

export type CallName = keyof typeof callParameters;
export type CallParameters<Name extends CallName> = z.input<(typeof callParameters)[Name]>;

/** What each call answers with when it is not refused. */
export interface CallResults {
  signIn: { person: PersonView };
  signOut: null;
  lookUpSerial: SerialView;
  command: { jobId: string; version: number };
  takeInHand: null;
  assignInstrument: null;
  adjustInstrument: null;
  simulate: null;
  timeline: TimelineView;
  findSerials: { serials: { serial: string; headId: string; lastVisitAt: string }[] };
  searchJobs: SearchPageView;
  searchChoices: SearchChoicesView;
  processChart: ChartView;
  checkChart: CheckChartView;
  calibratedInstruments: { instruments: CalibratedInstrumentView[] };
  savedViews: { views: SavedView[] };
  saveView: { views: SavedView[] };
  removeView: { views: SavedView[] };
  startExport: { exportId: string };
  startImpact: { exportId: string };
  stopExport: null;
  serialDocument: { url: string };
  verify: null;
  siteChains: { chains: SiteChainView[] };
  /** `cut`: of the newest uses alone. */
  siteLot: { lots: SiteLotView[]; cut: boolean };
  stopVerify: null;
  document: { url: string };
  sheets: { sheets: ServiceSheet[] };
  /** What was changed, and at how many events it stands now. */
  manage: { id: string; version: number };
  register: { instruments: RegisteredInstrumentView[] };
  ports: { ports: PortView[]; profiles: ProfileView[]; hidLack: HidLackView | null };
  instrumentLines: { lines: InstrumentLineView[] };
  teach: TeachView;
  teachListen: null;
  teachStop: null;
  teachConfirm: null;
  teachSave: { name: string; revision: number };
  lots: { lots: LotView[] };
  /** Every use of a lot, newest first. */
  lotUses: { uses: LotUseView[] };
  sheetRevisions: { sheets: SheetRevisionsView[] };
  peopleAdmin: { people: PersonAccountView[] };
  health: HealthView;
  /** `keyId` of the station's new key; null at the demo workshop. */
  setUp: { dataFolder: string; keyId: string | null };
}

/** From a screen. */
export const requestSchema = z.strictObject({
  id: z.int().nonnegative(),
  call: z.string().max(40),
  parameters: z.unknown(),
});

/** To a screen: the answer to a call. A fault is the station's trouble (port, disk), not the user's. */
export type Answer =
  | { readonly id: number; readonly ok: true; readonly value: unknown }
  | { readonly id: number; readonly ok: false; readonly refusal: Refusal }
  | { readonly id: number; readonly ok: false; readonly fault: { code: string; message: string } };

/** To a screen, unasked. */
export type News =
  | { readonly news: 'snapshot'; readonly snapshot: Snapshot }
  | { readonly news: 'live'; readonly live: LiveReading }
  | { readonly news: 'verify'; readonly progress: VerifyProgress }
  | { readonly news: 'export'; readonly progress: ExportProgress }
  | { readonly news: 'impact'; readonly progress: ImpactProgress }
  | { readonly news: 'beat'; readonly at: string };

export interface PersonView {
  readonly personId: string;
  readonly name: string;
  readonly roles: readonly Role[];
  /** At the demo workshop alone: the invented badge and PIN, shown at sign-in so that anybody can try the bench. */
  readonly demo?: { readonly badge: string; readonly pin: string };
}

/** Everything a screen shows besides live readings; sent whole whenever it changes. */
export interface Snapshot {
  readonly version: string;
  readonly workshop: string;
  /** True on a bench of simulated instruments: the word must be seen everywhere. */
  readonly simulated: boolean;
  /** True at another desk: nothing can be changed from there, and no names are shown before the sign-in. */
  readonly readOnly?: boolean;
  /** At the desk of a site: where its store is (`HOST:PORT/DATABASE`), and as whom it is asked. */
  readonly site?: { readonly address: string; readonly login: string };
  /** Only while nothing has been set up: the one call is `setUp` then. */
  readonly firstRun?: FirstRunView;
  readonly signedIn: PersonView | null;
  /** Who may sign in here, for choosing by name. */
  readonly people: readonly PersonView[];
  readonly instruments: readonly InstrumentView[];
  readonly assigned: { readonly scale: string | null; readonly wrench: string | null };
  readonly openJobs: readonly OpenJobView[];
  readonly jobInHand: JobInHandView | null;
  /** Faults that people must know of (database busy, disk nearly full), newest last. */
  readonly faults: readonly { readonly code: string; readonly message: string; readonly at: string }[];
}

export interface OpenJobView {
  readonly jobId: string;
  readonly serial: string;
  readonly headId: string;
  readonly phase: JobState['phase'];
  readonly holder: string;
  readonly openedAt: string;
  readonly stepTitle: { readonly en: string; readonly de: string } | null;
}

export type { PortState };

export interface InstrumentView {
  readonly instrumentId: string;
  readonly kind: 'scale' | 'wrench';
  readonly name: string;
  readonly profileName: string;
  readonly simulated: boolean;
  readonly port: { readonly path: string; readonly state: PortState; readonly message: string };
  /** No accepted line for longer than the profile allows. */
  readonly silent: boolean;
  readonly linesPerSecond: number;
  readonly rejections: Readonly<Partial<Record<RejectionReason, number>>>;
  readonly lastRejection: RejectionReason | null;
  /** May it be used for a capture today? */
  readonly fitness: { readonly usable: boolean; readonly code: string; readonly message: string };
  readonly certificateNumber: string | null;
  readonly calibrationDue: string | null;
  readonly lastCheckAt: string | null;
}

/** The job that this screen works on, with all that is needed to draw the current step. */
export interface JobInHandView {
  readonly state: JobState;
  readonly sheet: ServiceSheet;
  readonly measurement: MeasurementView | null;
  /** Earlier visits of the same serial. */
  readonly earlierVisits: number;
}

/** The measured step in hand: what the band gauge draws. Limits are in the band's unit. */
export interface MeasurementView {
  readonly stepId: string;
  readonly quantity: Quantity;
  readonly instrumentId: string | null;
  readonly band: Band;
  readonly rule: DecisionRule;
  readonly unit: Unit;
  /** Unit of the instrument's display. */
  readonly instrumentUnit: Unit | null;
  /** The same limits in the instrument's unit, for the wrench whose unit differs from the sheet's. */
  readonly inInstrumentUnit: { target: string; lower: string; upper: string } | null;
  /** Null when this instrument cannot show conformance at all; `blocked` says why. */
  readonly acceptance: { readonly lower: number | null; readonly upper: number | null } | null;
  readonly expandedUncertainty: number | null;
  readonly coverageFactor: number | null;
  readonly blocked: Refusal | null;
  readonly tare: { readonly text: string; readonly unit: Unit } | null;
  readonly attempts: number;
  readonly maximumAttempts: number;
}

/** One live reading, judged if a measured step is in hand that uses this instrument. */
export interface LiveReading {
  readonly instrumentId: string;
  /** Milliseconds on the station's monotonic clock. */
  readonly atMilliseconds: number;
  /** As the instrument shows it. */
  readonly indication: { readonly text: string; readonly unit: Unit; readonly state: IndicationState };
  /** Net of the station's tare, in the band's unit; null without a measured step. */
  readonly measured: { readonly value: number; readonly text: string; readonly unit: Unit } | null;
  /** True where the instrument (or our steadiness rule) calls it settled, or a pull is complete. */
  readonly settled: boolean;
  readonly judgement: Pick<Judgement, 'decision' | 'conformance' | 'margin'> | null;
  /** The pull under way or the last complete one. */
  readonly pull: {
    readonly phase: 'none' | 'pulling' | 'complete';
    readonly peakText: string;
    readonly peakUnit: Unit;
    readonly number: number;
  } | null;
  /** Fill rate and time to target while dispensing. */
  readonly dispensing: { readonly gramsPerSecond: number; readonly secondsToTarget: number | null } | null;
}

export interface SerialView {
  readonly serial: string;
  readonly openJobId: string | null;
  readonly visits: readonly { readonly jobId: string; readonly openedAt: string; readonly phase: string }[];
  readonly head: { readonly headId: string; readonly name: string } | null;
  /** Sheets in force that fit the head of this serial, or all when the serial is new. */
  readonly sheets: readonly {
    readonly sheetId: string;
    readonly revision: number;
    readonly title: LocalizedText;
    readonly headId: string;
    readonly headName: LocalizedText;
  }[];
}

/** One captured reading as the auditor reads it. */
export interface CaptureView {
  readonly captureId: string;
  readonly sequence: number;
  readonly at: string;
  readonly person: string;
  readonly stepId: string;
  readonly quantity: Quantity;
  readonly attempt: number;
  readonly indication: { readonly text: string; readonly unit: Unit };
  /** The weighing before the fill; the trace is of the indication, so tare included. */
  readonly tare: { readonly text: string; readonly unit: Unit } | null;
  readonly measured: { readonly text: string; readonly unit: Unit };
  readonly value: number;
  readonly unit: Unit;
  readonly band: Band;
  readonly rule: DecisionRule;
  readonly expandedUncertainty: number;
  readonly coverageFactor: number;
  readonly acceptance: { readonly lower: number | null; readonly upper: number | null } | null;
  readonly decision: Judgement['decision'];
  readonly conformance: number;
  /** Where the uncertainty comes from, in the unit of the value. */
  readonly budget: Budget;
  /** Pulls of the wrench, all of them. */
  readonly pulls: readonly { readonly peak: number; readonly unit: Unit; readonly final: boolean }[];
  readonly instrument: {
    readonly instrumentId: string;
    readonly name: string;
    readonly profileName: string;
    readonly profileHash: string;
    readonly certificateNumber: string | null;
    readonly certificateHash: string | null;
    readonly calibrationDue: string | null;
    /** Why a lead let it be used although it was unfit; null for a fit one. */
    readonly concession: string | null;
    readonly simulated: boolean;
  };
  /** The bytes as they came, base64, one entry a line, with milliseconds since the first. */
  readonly rawLines: readonly { readonly atMilliseconds: number; readonly base64: string }[];
  readonly trace: readonly (readonly [number, number])[];
  readonly hash: string;
}

export interface TimelineView {
  readonly serial: string;
  readonly visits: readonly {
    readonly jobId: string;
    /** At the desk of a site: where the visit was. */
    readonly place?: VisitPlaceView;
    readonly headId: string;
    readonly openedAt: string;
    readonly phase: string;
    readonly simulated: boolean;
    /** The service sheet that the job pinned; null where its first event was altered or removed. */
    readonly sheet: { readonly sheetId: string; readonly revision: number } | null;
    /** What that sheet calls its head and its steps; only what it names itself. */
    readonly titles: {
      readonly head: LocalizedText | null;
      readonly steps: Readonly<Record<string, LocalizedText>>;
    };
    readonly recordHash: string | null;
    /** Each event that was altered or is missing; nothing of it is shown. */
    readonly damage?: readonly Finding[];
    readonly captures: readonly CaptureView[];
    /** Everything else that happened, in order, one line each. */
    readonly events: readonly {
      readonly sequence: number;
      readonly at: string;
      readonly person: string;
      readonly kind: string;
      readonly stepId: string | null;
      /** What else it says: lot, answer, reason, text … */
      readonly details: Readonly<Record<string, string>>;
    }[];
  }[];
}

/** How far a check of the evidence is. */
export interface VerifyProgress {
  /** Places of the chain in the stage that runs: first the chain, then the content. */
  readonly done: number;
  readonly total: number;
  /** How the first stage ended; null or left out while it runs. It says nothing of the second. */
  readonly chainIntact?: boolean | null;
  /** At the desk of a site: the chain that is meant, and whether it is only being fetched yet. */
  readonly site?: { readonly chainId: number; readonly fetching: boolean };
  /** Why it could not go on; null or left out while nothing is the matter. */
  readonly failed?: { readonly code: string; readonly message: string } | null;
  readonly finished: boolean;
  /** True where a person stopped it: what was found until then stands, and nothing is said of the rest. */
  readonly stopped: boolean;
  readonly intact: boolean | null;
  readonly problems: readonly {
    readonly serial: string | null;
    readonly sequence: number | null;
    readonly kind: ProblemKind;
    readonly jobId: string | null;
    readonly stream: string | null;
    readonly finding: Finding;
  }[];
}
