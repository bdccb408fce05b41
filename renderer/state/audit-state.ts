import { type AuditFilter, type exportFormats, ruleSets, type SavedView } from '../../shared/audit/filter.ts';
import type { CalibratedInstrumentView } from '../../shared/audit/impact-view.ts';
import type {
  ChartView,
  CheckChartView,
  ExportProgress,
  FoundJobView,
  SearchChoicesView,
  SiteChainView,
  SiteLotView,
} from '../../shared/audit/view.ts';
import type { Snapshot, TimelineView } from '../../shared/contract.ts';
import type { ChartForm } from '../../shared/statistics/small-shift-study.ts';
import { isDayOrEmpty } from './typed-day.ts';

/** What the auditor's screen is about; one tab each. */
export const auditTabs = ['serial', 'search', 'charts', 'export', 'impact', 'lots', 'stations'] as const;
export type AuditTab = (typeof auditTabs)[number];

/** The tabs at this desk. */
export function tabsAt(snapshot: Pick<Snapshot, 'site'> | null): readonly AuditTab[] {
  return snapshot?.site === undefined
    ? auditTabs.filter((tab) => tab !== 'lots' && tab !== 'stations')
    : auditTabs;
}

/** What is charted. */
export const chartKinds = ['mass', 'torque', 'checks'] as const;
export type ChartKind = (typeof chartKinds)[number];

export const chartLengths = [25, 50, 100, 200, 500] as const;

/** What the auditor's screen shows and has chosen. One filter serves search, charts and export. */
export interface AuditState {
  readonly tab: AuditTab;
  /** Serials that begin with what was typed. */
  readonly found: readonly {
    readonly serial: string;
    readonly headId: string;
    readonly lastVisitAt: string;
  }[];
  /** The serial whose readings are shown. */
  readonly timeline: TimelineView | null;
  /** Two visits of it side by side, by `visitName`; null: all of them, one below the other. */
  readonly compared: readonly [string, string] | null;
  readonly filter: AuditFilter;
  /** What can be chosen; null before it was fetched. */
  readonly choices: SearchChoicesView | null;
  readonly views: readonly SavedView[] | null;
  /** The view that was applied last, while its filter stands unchanged. */
  readonly viewName: string | null;
  readonly jobs: readonly FoundJobView[] | null;
  /** Where the next page of jobs begins; null at the end. */
  readonly before: number | null;
  /** A lot at the benches of a site; null before one was asked for. */
  readonly lotTrace: {
    readonly lotId: string;
    readonly lots: readonly SiteLotView[];
    readonly cut: boolean;
  } | null;
  /** The chains of a site; null before they were fetched. */
  readonly chains: readonly SiteChainView[] | null;
  /** The chain that is to be verified. */
  readonly chainId: number | null;
  /** The station of a site whose charts and calibrations are asked for. */
  readonly stationId: string | null;
  readonly chartKind: ChartKind;
  readonly chartForm: ChartForm;
  readonly chartLength: number;
  readonly rules: (typeof ruleSets)[number];
  readonly chart: ChartView | null;
  readonly checks: CheckChartView | null;
  readonly format: (typeof exportFormats)[number];
  /** The chain of a site whose bundle is made; null: that of a serial. */
  readonly bundleChainId: number | null;
  /** The export asked for here last. */
  readonly exportId: string | null;
  /** Instruments with their calibrations; null before they were fetched. */
  readonly calibrated: readonly CalibratedInstrumentView[] | null;
  /** Whose captures are judged again, with the as-found errors of which calibration; null: the one that tells most. */
  readonly impactInstrumentId: string | null;
  readonly impactCertificate: string | null;
  /** ISO 8601 day from which on; empty: since the calibration before. */
  readonly impactSince: string;
}

export const emptyAudit: AuditState = {
  tab: 'serial',
  found: [],
  timeline: null,
  compared: null,
  filter: {},
  choices: null,
  views: null,
  viewName: null,
  jobs: null,
  before: null,
  lotTrace: null,
  chains: null,
  chainId: null,
  stationId: null,
  chartKind: 'mass',
  chartForm: 'individuals',
  chartLength: 100,
  rules: ruleSets[0],
  chart: null,
  checks: null,
  format: 'csv',
  bundleChainId: null,
  exportId: null,
  calibrated: null,
  impactInstrumentId: null,
  impactCertificate: null,
  impactSince: '',
};

/** What tells a visit from the others of its serial: among the benches of a site, the job may be in two branches. */
export function visitName({ jobId, place }: TimelineView['visits'][number]): string {
  return place === undefined ? jobId : `${place.stationId} ${place.branch} ${jobId}`;
}

/** The chain that is to be verified; the only one counts as chosen. */
export function chosenChain({ chains, chainId }: AuditState): SiteChainView | null {
  if (chains === null) return null;
  return chains.find((one) => one.chainId === chainId) ?? (chains.length === 1 ? (chains[0] ?? null) : null);
}

/** The stations of a site: of each the branch with which it goes on. */
export function stationsOf({ chains }: Pick<AuditState, 'chains'>): readonly SiteChainView[] {
  return (chains ?? []).filter(({ leftBehind }) => !leftBehind);
}

/** The station that is asked about; the only one counts as chosen. */
export function chosenStation(audit: Pick<AuditState, 'chains' | 'stationId'>): string | null {
  const [first, ...more] = stationsOf(audit);
  return audit.stationId ?? (more.length === 0 ? (first?.stationId ?? null) : null);
}

/** Another station is asked about: what was shown of the one before goes. */
export function withStation(stationId: string | null): Partial<AuditState> {
  return {
    stationId,
    ...{ chart: null, checks: null, calibrated: null, impactInstrumentId: null, impactCertificate: null },
  };
}

/** Are both ends of a filter days, where they are given? */
export function hasDays({ from, until }: AuditFilter): boolean {
  return isDayOrEmpty(from) && isDayOrEmpty(until);
}

/** The filter with one field changed; an empty text takes the field out. */
export function withField(filter: AuditFilter, field: keyof AuditFilter, value: string): AuditFilter {
  const { [field]: _, ...rest } = filter;
  return value === '' ? rest : ({ ...rest, [field]: value } as AuditFilter);
}

export interface ChosenCalibration {
  readonly instrument: CalibratedInstrumentView;
  readonly calibration: CalibratedInstrumentView['calibrations'][number];
}

/** The calibration whose as-found errors count: the one chosen, else the newest that was out of tolerance, else the newest. */
export function chosenCalibration({
  calibrated,
  impactInstrumentId,
  impactCertificate,
}: AuditState): ChosenCalibration | null {
  const instrument = calibrated?.find(({ instrumentId }) => instrumentId === impactInstrumentId);
  if (instrument === undefined) return null;
  const { calibrations } = instrument;
  const calibration =
    calibrations.find(({ hash }) => hash === impactCertificate) ??
    calibrations.find(({ finding }) => finding?.outOfTolerance === true) ??
    calibrations[0];
  return calibration === undefined ? null : { instrument, calibration };
}

/** The progress of the export that this page asked for, if it is that one. */
export function exportInHand(
  { exportId }: AuditState,
  progress: ExportProgress | null,
): ExportProgress | null {
  return progress !== null && progress.exportId === exportId ? progress : null;
}
