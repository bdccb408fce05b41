import type { Decision } from '../../../shared/acceptance/judgement.ts';
import type { AsFoundReport } from '../../../shared/calibration/as-found.ts';
import type { Certificate } from '../../../shared/calibration/certificate.ts';
import { judgeAgain } from '../../../shared/calibration/impact.ts';
import { addDays } from '../../../shared/day.ts';
import { dayOf } from '../../../shared/identifier.ts';
import {
  foldInstrument,
  type Instrument,
  instrumentEventSchema,
} from '../../../shared/instrument/instrument.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import { impactCaptureOf } from '../../../shared/job/impact-capture.ts';
import { isSameData } from '../../../shared/job/same-data.ts';
import { quantityOf, type Unit } from '../../../shared/quantity/unit.ts';
import { ok, type Refusal, type Result, refuse } from '../../../shared/result.ts';
import type { LocalizedText } from '../../../shared/sheet/localized-text.ts';
import type { CaptureEntry, EvidenceReader } from '../store/evidence-reader.ts';
import type { CaptureFilter } from '../store/filters.ts';
import { attempt } from './naming.ts';
import { createStepTitles } from './sheet-titles.ts';

/** Which captures an as-found error concerns. Days are inclusive; null is open. */
export interface ImpactWindow {
  readonly lastGoodCalibration: { readonly number: string; readonly date: string } | null;
  readonly since: string | null;
  readonly until: string | null;
}

/** One capture judged again. Values are in `unit`, the band's. */
export interface ImpactEntry {
  readonly captureId: string;
  readonly jobId: string;
  readonly serial: string;
  /** State of the job today; null while it is at the bench. */
  readonly phase: string | null;
  readonly stepId: string;
  /** As the sheet of the job names it; null where that cannot be read, or where nothing changes. */
  readonly stepTitle: LocalizedText | null;
  readonly at: string;
  readonly outcome: 'unchanged' | 'changed' | 'unknown';
  readonly unit: Unit;
  readonly recorded: { readonly value: number; readonly decision: Decision };
  /** Null where it cannot be said; `reason` then says why. */
  readonly again: {
    readonly value: number;
    readonly shift: number;
    readonly decision: Decision;
    readonly conformance: number;
  } | null;
  readonly reason: Refusal | null;
}

const capturesAtOnce = 500;

/** An instrument as its events make it, or undefined. */
export function instrumentOf(
  reader: Pick<EvidenceReader, 'readStream'>,
  instrumentId: string,
): Instrument | undefined {
  const events = reader.readStream(`instrument/${instrumentId}`);
  return events.reduce<Instrument | undefined>(
    (state, { body }) => foldInstrument(state, instrumentEventSchema.parse(body)),
    undefined,
  );
}

/**
 * From the last good calibration to the one that found the error. The latter is dated by the report, or is the
 * certificate of the register with the same as-found errors; with neither it is not in the register yet, and all
 * readings up to now count.
 * Whole days, since certificates have no hour: rather a capture too many than one too few.
 */
export function impactWindow(
  certificates: readonly Certificate[],
  report: AsFoundReport,
  wished: string | undefined,
): ImpactWindow {
  const { asFound } = report;
  const known = certificates.find(
    ({ unit, asFound: points }) =>
      unit === asFound.unit &&
      'points' in asFound &&
      isSameData(points.map(shownOf), asFound.points.map(shownOf)),
  );
  const foundOn = report.foundOn ?? known?.date ?? null;
  const before = certificates.filter(({ date }) => foundOn === null || date < foundOn);
  const [last] = [...before].sort((a, b) => (a.date < b.date ? 1 : -1));
  return {
    lastGoodCalibration: last === undefined ? null : { number: last.number, date: last.date },
    since: wished ?? last?.date ?? null,
    until: foundOn,
  };
}

function shownOf({ indication, reference }: { readonly indication: number; readonly reference: number }) {
  return { indication, reference };
}

/** Refuses an as-found report of another quantity than the instrument's. */
export function checkQuantity(instrument: Instrument, report: AsFoundReport): Result<null> {
  const { unit } = report.asFound;
  const { quantity } = instrument.metrology;
  if (quantityOf(unit) === quantity) return ok(null);
  return refuse('wrong_unit', 'unit', `${unit} is no unit of ${quantity}, which ${instrument.name} measures`);
}

/** Captures that may lie in the window. The index is in UTC: a day more on each side, then the day at the bench decides. */
export function capturesAbout(instrumentId: string, { since, until }: ImpactWindow): CaptureFilter {
  return {
    instrumentId,
    from: since === null ? undefined : `${addDays(since, -1)}T00:00:00Z`,
    until: until === null ? undefined : `${addDays(until, 2)}T00:00:00Z`,
  };
}

/**
 * Judges the captures of an instrument again, in the order in which they were made; `altered` for one that was altered
 * or removed. Alters nothing.
 */
export function* judgeCapturesAgain(
  reader: EvidenceReader,
  instrumentId: string,
  report: AsFoundReport,
  window: ImpactWindow,
): Generator<ImpactEntry | 'altered'> {
  const filter = capturesAbout(instrumentId, window);
  for (let after = 0, more = true; more; ) {
    const page = reader.findCaptures(filter, after, capturesAtOnce);
    for (const entry of page) {
      const judged = judgeEntryAgain(reader, entry, report, window);
      if (judged !== null) yield judged;
    }
    after = page.at(-1)?.sequence ?? after;
    more = page.length === capturesAtOnce;
  }
}

/** One capture judged again; `altered` for one that was altered or removed, null for one outside the window. */
export function judgeEntryAgain(
  reader: EvidenceReader,
  { sequence, jobId, serial }: Pick<CaptureEntry, 'sequence' | 'jobId' | 'serial'>,
  report: AsFoundReport,
  { since, until }: ImpactWindow,
): ImpactEntry | 'altered' | null {
  // Validated when it was written; the reader hands out nothing whose hash does not fit.
  const event = attempt(() => reader.eventAt(sequence))?.body as JobEvent | undefined;
  if (event?.kind !== 'measurementCaptured') return 'altered';
  const day = dayOf(event.at);
  if ((since !== null && day < since) || (until !== null && day > until)) return null;
  const { capture, stepId, at } = event;
  const [line] = judgeAgain([impactCaptureOf(capture)], report.asFound);
  if (line === undefined) return null;
  const { value, unit } = capture.measured;
  const common = {
    captureId: capture.captureId,
    jobId,
    serial,
    phase: reader.findJob(jobId)?.phase ?? null,
    stepId,
    stepTitle: line.outcome === 'unchanged' ? null : createStepTitles(reader)(jobId, stepId),
    at,
    outcome: line.outcome,
    unit,
    recorded: { value, decision: capture.judgement.decision },
  };
  if (line.outcome === 'unknown') return { ...common, again: null, reason: line.reason };
  const { decision, conformance, value: corrected } = line.judgement;
  return {
    ...common,
    again: { value: corrected, shift: line.shift, decision, conformance },
    reason: null,
  };
}
