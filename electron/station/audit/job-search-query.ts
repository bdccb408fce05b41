import { utcOf } from '../../../shared/evidence/evidence-rules.ts';
import type { CaptureFilter } from '../store/filters.ts';

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

interface Condition {
  readonly sql: string;
  readonly values: readonly string[];
}

/** The query for a filter, driven by the index that leaves least. */
export function jobQueryOf(filter: CaptureFilter): JobQuery {
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

function byJob(filter: CaptureFilter): JobQuery {
  const { lotId } = filter;
  const usesLot = (value: string): Condition => ({
    sql: 'EXISTS (SELECT 1 FROM consumption WHERE consumption.job_id = job.job_id AND +lot_id = ?)',
    values: [value],
  });
  const rest = joined([
    ...ofJob(filter, filter.serial === undefined ? 'head_id' : 'serial'),
    ...(lotId === undefined ? [] : [usesLot(lotId)]),
    ...hasReading(filter),
  ]);
  return {
    sql: `SELECT job_id AS "jobId", sequence AS "place" FROM job
          WHERE sequence BETWEEN ? AND ?${rest.sql} ORDER BY sequence DESC LIMIT ?`,
    values: rest.values,
    driver: null,
  };
}

/** One row for each job: at its newest reading of those asked for. */
function byCapture(filter: CaptureFilter, column: string, value: string): JobQuery {
  const own = joined(ofReading('capture', filter, column));
  const later = joined(ofReading('later', filter, null));
  const job = joined(ofJob(filter, null));
  return {
    sql: `SELECT capture.job_id AS "jobId", capture.sequence AS "place" FROM capture CROSS JOIN job USING (job_id)
          WHERE capture.sequence BETWEEN ? AND ?${own.sql}${job.sql}
            AND NOT EXISTS (SELECT 1 FROM capture AS later WHERE later.job_id = capture.job_id
                              AND later.sequence > capture.sequence${later.sql})
          ORDER BY capture.sequence DESC LIMIT ?`,
    values: [...own.values, ...job.values, ...later.values],
    driver: { table: 'capture', column, value },
  };
}

function byConsumption(filter: CaptureFilter, lotId: string): JobQuery {
  const rest = joined([...ofJob(filter, null), ...hasReading(filter)]);
  return {
    sql: `SELECT consumption.job_id AS "jobId", consumption.sequence AS "place"
          FROM consumption CROSS JOIN job USING (job_id)
          WHERE consumption.sequence BETWEEN ? AND ? AND consumption.lot_id = ?
            AND NOT EXISTS (SELECT 1 FROM consumption AS later WHERE later.job_id = consumption.job_id
                              AND later.sequence > consumption.sequence AND +later.lot_id = ?)${rest.sql}
          ORDER BY consumption.sequence DESC LIMIT ?`,
    values: [lotId, lotId, ...rest.values],
    driver: { table: 'consumption', column: 'lot_id', value: lotId },
  };
}

function joined(conditions: readonly Condition[]): Condition {
  return {
    sql: conditions.map(({ sql }) => ` AND ${sql}`).join(''),
    values: conditions.flatMap(({ values }) => values),
  };
}

/** `+` before a column keeps its index out of the plan: one index drives, the rest is looked at row by row. */
function test(column: string, comparison: string, value: string | undefined, drives: boolean): Condition[] {
  if (value === undefined) return [];
  return [{ sql: `${drives ? '' : '+'}${column} ${comparison} ?`, values: [value] }];
}

/** What is asked of the job itself. The person opened it or took a reading in it. */
function ofJob({ serial, headId, personId, from, until }: CaptureFilter, driver: string | null): Condition[] {
  const person: Condition[] =
    personId === undefined
      ? []
      : [
          {
            sql: '(job.person_id = ? OR EXISTS (SELECT 1 FROM capture AS own WHERE own.job_id = job.job_id AND +own.person_id = ?))',
            values: [personId, personId],
          },
        ];
  return [
    ...test('job.serial', '=', serial, driver === 'serial'),
    ...test('job.head_id', '=', headId, driver === 'head_id'),
    ...person,
    ...test('job.opened_at', '>=', from && utcOf(from), false),
    ...test('job.opened_at', '<', until && utcOf(until), false),
  ];
}

/** What is asked of one and the same reading. */
function ofReading(name: string, filter: CaptureFilter, driver: string | null): Condition[] {
  const { instrumentId, certificateHash, decision, quantity } = filter;
  const own = (column: string, value: string | undefined) =>
    test(`${name}.${column}`, '=', value, column === driver);
  return [
    ...own('instrument_id', instrumentId),
    ...own('certificate_hash', certificateHash),
    ...own('decision', decision),
    ...own('quantity', quantity),
  ];
}

function hasReading(filter: CaptureFilter): Condition[] {
  const asked = ofReading('asked', filter, null);
  if (asked.length === 0) return [];
  const { sql, values } = joined(asked);
  return [{ sql: `EXISTS (SELECT 1 FROM capture AS asked WHERE asked.job_id = job.job_id${sql})`, values }];
}
