import type { Decision } from '../../../shared/acceptance/judgement.ts';
import type {
  ImpactCaptureView,
  ImpactReportView,
  ImpactStationView,
} from '../../../shared/audit/impact-view.ts';
import type { VisitPlaceView } from '../../../shared/audit/view.ts';
import type { ImpactEntry, ImpactWindow } from './impact.ts';

/** Most serials and captures that a screen shows; the file holds all. */
const mostShown = 500;

/** What the report begins with. */
export type ImpactHead = Pick<
  ImpactReportView,
  'instrumentId' | 'name' | 'certificateNumber' | 'finding' | keyof ImpactWindow
>;

/** Gathers captures judged again into a report, in bounded memory. */
export class ImpactTally {
  readonly #counts = new Map<string, { recorded: Decision; again: Decision | null; count: number }>();
  readonly #serials = new Set<string>();
  readonly #captures: ImpactCaptureView[] = [];
  readonly #stations = new Map<
    string,
    { -readonly [Field in keyof ImpactStationView]: ImpactStationView[Field] }
  >();
  #judged = 0;
  #changed = 0;
  #unknown = 0;
  #omitted = 0;

  /** Captures looked at, also those that were altered. */
  get seen(): number {
    return this.#judged + this.#omitted;
  }

  get omitted(): number {
    return this.#omitted;
  }

  /** @param place where it was made, at the desk of a site */
  add(entry: ImpactEntry | 'altered', place?: VisitPlaceView): void {
    if (entry === 'altered') {
      this.#omitted += 1;
      return;
    }
    this.#judged += 1;
    this.#count(entry.recorded.decision, entry.again?.decision ?? null);
    if (place !== undefined) this.#countStation(place, entry.outcome);
    if (entry.outcome === 'unchanged') return;
    if (entry.outcome === 'changed') this.#changed += 1;
    else this.#unknown += 1;
    this.#serials.add(entry.serial);
    if (this.#captures.length < mostShown)
      this.#captures.push({ ...captureView(entry), ...(place && { place }) });
  }

  report(head: ImpactHead): ImpactReportView {
    return {
      ...head,
      judged: this.#judged,
      changed: this.#changed,
      unknown: this.#unknown,
      omitted: this.#omitted,
      counts: [...this.#counts.values()],
      serials: [...this.#serials].slice(0, mostShown),
      serialCount: this.#serials.size,
      captures: this.#captures,
      ...(this.#stations.size > 0 && { stations: [...this.#stations.values()] }),
    };
  }

  #countStation({ benchId, stationId }: VisitPlaceView, outcome: ImpactEntry['outcome']): void {
    const known = this.#stations.get(stationId) ?? { benchId, stationId, judged: 0, changed: 0, unknown: 0 };
    known.judged += 1;
    if (outcome !== 'unchanged') known[outcome] += 1;
    this.#stations.set(stationId, known);
  }

  #count(recorded: Decision, again: Decision | null): void {
    const key = `${recorded}|${again}`;
    const known = this.#counts.get(key);
    if (known === undefined) this.#counts.set(key, { recorded, again, count: 1 });
    else known.count += 1;
  }
}

function captureView(entry: ImpactEntry): ImpactCaptureView {
  const { captureId, serial, at, stepId, stepTitle, phase, outcome, unit, recorded, again, reason } = entry;
  return {
    ...{ captureId, serial, at, stepId, stepTitle, outcome, unit, recorded },
    phase: phase ?? 'open',
    again: again && { value: again.value, shift: again.shift, decision: again.decision },
    reason,
  };
}

/** One capture judged again as a line of a table. The order of the names is the order of the columns. */
export function impactRow(entry: ImpactEntry): Readonly<Record<string, string | number | null>> {
  const { serial, jobId, phase, captureId, stepId, at, outcome, unit, recorded, again, reason } = entry;
  return {
    serial,
    job: jobId,
    phase: phase ?? 'open',
    capture: captureId,
    step: stepId,
    at,
    outcome,
    unit,
    recorded_value: recorded.value,
    recorded_decision: recorded.decision,
    value_again: again?.value ?? null,
    shift: again?.shift ?? null,
    decision_again: again?.decision ?? null,
    conformance_again: again?.conformance ?? null,
    reason: reason?.message ?? null,
  };
}

export const impactColumns = [
  ...['serial', 'job', 'phase', 'capture', 'step', 'at', 'outcome', 'unit', 'recorded_value'],
  ...['recorded_decision', 'value_again', 'shift', 'decision_again', 'conformance_again', 'reason'],
] as const;
