import type { Decision } from '../acceptance/judgement.ts';
import type { Lot } from '../consumable/lot.ts';
import type { Quantity, Unit } from '../quantity/unit.ts';
import type { LocalizedText } from '../sheet/localized-text.ts';
import type { ProcessStudy } from '../statistics/process-study.ts';

/** Where a visit was, among the benches of a site. */
export interface VisitPlaceView {
  readonly benchId: string;
  readonly stationId: string;
  /** 1 for a station that never forked. */
  readonly branch: number;
  /** True for what only an older branch has: the station went on without it. */
  readonly leftBehind: boolean;
}

/** One chain at a site: of a station, or a branch of one. */
export interface SiteChainView extends VisitPlaceView {
  readonly chainId: number;
  /** Events that the site has. */
  readonly events: number;
  /** The event behind which the branch began; 0 for a chain of its own. */
  readonly forkedAfter: number;
  /** When the last piece came, ISO 8601. */
  readonly receivedAt: string;
}

/** A lot at one bench of a site, and every job there that used it, oldest first. */
export interface SiteLotView {
  readonly place: VisitPlaceView;
  /** Null where jobs name it but the stock never had it. */
  readonly lot: Pick<
    Lot,
    'name' | 'received' | 'remaining' | 'unit' | 'expiry' | 'openedAt' | 'blocked'
  > | null;
  readonly jobs: readonly {
    readonly jobId: string;
    readonly serial: string;
    readonly openedAt: string;
    /** Null while the job is at the bench. */
    readonly phase: string | null;
    readonly uses: readonly {
      readonly at: string;
      readonly person: string;
      readonly quantity: number | null;
    }[];
  }[];
}

/** One job found by a search. */
export interface FoundJobView {
  readonly jobId: string;
  /** At the desk of a site. */
  readonly place?: VisitPlaceView;
  readonly serial: string;
  readonly headId: string;
  /** Who opened it. */
  readonly person: string;
  /** UTC. */
  readonly openedAt: string;
  /** `open` while it is at the bench. */
  readonly phase: string;
  readonly readings: readonly {
    readonly sequence: number;
    readonly stepId: string;
    /** As the sheet of the job names it; null where that cannot be read. */
    readonly stepTitle: LocalizedText | null;
    readonly quantity: string;
    /** Null where the event was altered or removed: `verify` names it. */
    readonly measured: { readonly text: string; readonly unit: Unit; readonly decision: Decision } | null;
  }[];
}

/** A page of a search, newest first. */
export interface SearchPageView {
  readonly jobs: readonly FoundJobView[];
  /** Where the next page begins; null when everything has been looked through. */
  readonly before: number | null;
}

/** What can be chosen in a filter. Lists are cut off after some hundred. */
export interface SearchChoicesView {
  readonly heads: readonly string[];
  readonly people: readonly { readonly personId: string; readonly name: string }[];
  readonly instruments: readonly { readonly instrumentId: string; readonly name: string }[];
  readonly lots: readonly string[];
  readonly certificates: readonly { readonly hash: string; readonly number: string }[];
}

/** A reading on a control chart. */
export interface ChartPointView {
  readonly sequence: number;
  readonly captureId: string;
  readonly serial: string;
  readonly headId: string;
  readonly stepId: string;
  readonly at: string;
  readonly person: string;
  readonly instrumentId: string;
  readonly decision: Decision;
}

/** Control chart and capability. `study.values[i]` belongs to `points[i]`; oldest first. */
export interface ChartView {
  readonly quantity: Quantity;
  readonly rules: string;
  readonly confidence: number;
  readonly study: ProcessStudy;
  readonly points: readonly ChartPointView[];
  /** Readings that were altered or removed and are not in it. */
  readonly omitted: number;
  /** True where there are older readings that it does not take. */
  readonly cut: boolean;
}

/** The checks of an instrument, one chart for each reference, oldest first. */
export interface CheckChartView {
  readonly instrumentId: string;
  readonly name: string;
  readonly charts: readonly {
    readonly reference: { readonly name: string; readonly value: number; readonly unit: Unit };
    readonly checks: readonly {
      readonly at: string;
      readonly person: string;
      readonly passed: boolean;
      /** Indication − reference, in the unit of the reference. */
      readonly difference: number;
      /** Largest difference that was allowed, in the unit of the reference. */
      readonly limit: number;
      readonly indication: { readonly value: number; readonly unit: Unit };
    }[];
    /** Three standard deviations about the mean difference, by moving ranges; null below two checks. */
    readonly control: { readonly centre: number; readonly lower: number; readonly upper: number } | null;
  }[];
}

/** How far an export is. */
export interface ExportProgress {
  readonly exportId: string;
  readonly done: number;
  readonly total: number;
  readonly state: 'running' | 'ready' | 'stopped' | 'failed';
  /** Where to fetch it, when it is ready. */
  readonly url: string | null;
  /** Readings that were altered or removed and so are not in it. */
  readonly omitted: number;
  /** Why it failed. */
  readonly message: string | null;
}
