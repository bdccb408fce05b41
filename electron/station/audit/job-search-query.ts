import {
  hasReading,
  type JobFilter,
  jobConditions,
  joined,
  readingConditions,
  usesLot,
} from '../store/filters.ts';

/** A row for each job, `jobId` and `place`, newest place first. Its first two values are the stretch, the last the limit. */
export interface JobQuery {
  readonly sql: string;
  /** Between the stretch and the limit. */
  readonly values: readonly string[];
  /** What drives it: the rows of one value of an indexed column, or all jobs. */
  readonly driver: {
    readonly table: 'capture' | 'consumption';
    readonly column: string;
    readonly value: string;
  } | null;
}

/** The query for a filter, driven by the index that leaves least. */
export function jobQueryOf(filter: JobFilter): JobQuery {
  const { serial, lotId, instrumentId, certificateHash, decision, from, until } = filter;
  if (serial !== undefined) return byJob(filter);
  if (lotId !== undefined) return byConsumption(filter, lotId);
  // The time is that of the job: its readings may lie far behind it.
  if (from !== undefined || until !== undefined) return byJob(filter);
  if (certificateHash !== undefined) return byCapture(filter, 'certificate_hash', certificateHash);
  // Most readings pass: that leaves nothing out.
  if (decision !== undefined && decision !== 'pass') return byCapture(filter, 'decision', decision);
  if (instrumentId !== undefined) return byCapture(filter, 'instrument_id', instrumentId);
  return byJob(filter);
}

function byJob(filter: JobFilter): JobQuery {
  const driver = filter.serial === undefined ? 'head_id' : 'serial';
  const { where, values } = joined([
    ...jobConditions(filter, driver),
    ...usesLot(filter),
    ...hasReading(filter),
  ]);
  return {
    sql: `SELECT job_id AS "jobId", sequence AS "place" FROM job
          WHERE sequence BETWEEN ? AND ?${where} ORDER BY sequence DESC LIMIT ?`,
    values,
    driver: null,
  };
}

/** One row for each job: at its newest reading of those asked for. */
function byCapture(filter: JobFilter, column: string, value: string): JobQuery {
  const own = joined(readingConditions('capture', filter, column));
  const later = joined(readingConditions('later', filter, null));
  const job = joined(jobConditions(filter, null));
  return {
    sql: `SELECT capture.job_id AS "jobId", capture.sequence AS "place" FROM capture CROSS JOIN job USING (job_id)
          WHERE capture.sequence BETWEEN ? AND ?${own.where}${job.where}
            AND NOT EXISTS (SELECT 1 FROM capture AS later WHERE later.job_id = capture.job_id
                              AND later.sequence > capture.sequence${later.where})
          ORDER BY capture.sequence DESC LIMIT ?`,
    values: [...own.values, ...job.values, ...later.values],
    driver: { table: 'capture', column, value },
  };
}

function byConsumption(filter: JobFilter, lotId: string): JobQuery {
  const { where, values } = joined([...jobConditions(filter, null), ...hasReading(filter)]);
  return {
    sql: `SELECT consumption.job_id AS "jobId", consumption.sequence AS "place"
          FROM consumption CROSS JOIN job USING (job_id)
          WHERE consumption.sequence BETWEEN ? AND ? AND consumption.lot_id = ?
            AND NOT EXISTS (SELECT 1 FROM consumption AS later WHERE later.job_id = consumption.job_id
                              AND later.sequence > consumption.sequence AND +later.lot_id = ?)${where}
          ORDER BY consumption.sequence DESC LIMIT ?`,
    values: [lotId, lotId, ...values],
    driver: { table: 'consumption', column: 'lot_id', value: lotId },
  };
}
