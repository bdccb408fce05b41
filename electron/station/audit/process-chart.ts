import type { ChartWish } from '../../../shared/audit/filter.ts';
import type { ChartPointView, ChartView } from '../../../shared/audit/view.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import { ok, type Result } from '../../../shared/result.ts';
import { type ProcessReading, studyProcess } from '../../../shared/statistics/process-study.ts';
import type { CaptureEntry, EvidenceReader } from '../store/evidence-reader.ts';
import { type CaptureFilter, captureCondition } from '../store/filters.ts';
import { selectionOf } from '../store/index-tables.ts';
import type { Database } from '../store/sqlite.ts';
import { evidenceFilter } from './evidence-filter.ts';
import { attempt } from './naming.ts';
import type { NamesOfPeople } from './people-names.ts';
import { createSequenceRange } from './sequence-range.ts';

const confidence = 0.95;

/**
 * The control chart of the newest readings that meet a filter: of each step of a job the last reading, since that is
 * how the head went on; none of jobs that were abandoned or declared void. Bounded: no more events are read than
 * are shown.
 */
export function processChart({ database, reader, nameOf }: ChartSources, wish: ChartWish): Result<ChartView> {
  const filter = evidenceFilter(reader, wish.filter);
  if (!filter.ok) return filter;
  const newest = newestReadings(database, filter.value, wish.last + 1);
  const entries = newest.slice(0, wish.last).reverse();
  const charted = entries.flatMap((entry) => {
    const reading = readingAt(reader, entry);
    return reading === undefined ? [] : [{ ...reading, point: pointOf(entry, reading.at, nameOf) }];
  });
  return ok({
    quantity: wish.filter.quantity,
    rules: wish.rules,
    confidence,
    study: studyProcess(
      charted.map(({ reading }) => reading),
      wish.rules,
      confidence,
    ),
    points: charted.map(({ point, decision }) => ({ ...point, decision })),
    omitted: entries.length - charted.length,
    cut: newest.length > entries.length,
  });
}

export interface ChartSources {
  readonly database: Database;
  readonly reader: EvidenceReader;
  readonly nameOf: NamesOfPeople;
}

function newestReadings(database: Database, filter: CaptureFilter, limit: number): CaptureEntry[] {
  const { first, last } = createSequenceRange(database)('capture', filter.from, filter.until);
  const { where, values } = captureCondition(filter);
  return database
    .prepare<unknown[], CaptureEntry>(
      `SELECT ${selectionOf('capture')} FROM capture
       WHERE capture.sequence BETWEEN ? AND ?${where}
         AND NOT EXISTS (SELECT 1 FROM capture AS later WHERE later.job_id = capture.job_id
                           AND +later.step_id = capture.step_id AND later.sequence > capture.sequence)
         AND coalesce((SELECT phase FROM job_end WHERE job_end.job_id = capture.job_id
                         ORDER BY job_end.sequence DESC LIMIT 1), 'open') NOT IN ('abandoned', 'voided')
       ORDER BY capture.sequence DESC LIMIT ?`,
    )
    .all(first, last, ...values, limit);
}

interface Reading {
  readonly at: string;
  readonly reading: ProcessReading;
  readonly decision: ChartPointView['decision'];
}

/** What an intact event says; undefined for one that was altered or removed. */
function readingAt(reader: EvidenceReader, { sequence }: CaptureEntry): Reading | undefined {
  const stored = attempt(() => reader.eventAt(sequence));
  // Validated when it was written; the reader hands out nothing whose hash does not fit.
  const event = stored?.body as JobEvent | undefined;
  if (event?.kind !== 'measurementCaptured') return undefined;
  const { judgement, band } = event.capture;
  return {
    at: event.at,
    reading: {
      value: judgement.value,
      unit: judgement.unit,
      band,
      zone: {
        standardUncertainty: judgement.uncertainty.expanded / judgement.uncertainty.k,
        acceptance: judgement.acceptance,
      },
    },
    decision: judgement.decision,
  };
}

function pointOf(
  { sequence, captureId, serial, headId, stepId, instrumentId, personId }: CaptureEntry,
  at: string,
  nameOf: NamesOfPeople,
): Omit<ChartPointView, 'decision'> {
  const person = personId === null ? '' : nameOf(personId);
  return { sequence, captureId, serial, headId, stepId, at, instrumentId, person };
}
