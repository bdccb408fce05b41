import type { CaptureFilter } from '../store/filters.ts';
import type { Database } from '../store/sqlite.ts';
import { type JobQuery, jobQueryOf } from './job-search-query.ts';
import { createSequenceRange, type SequenceRange } from './sequence-range.ts';

/** Jobs that meet a filter, newest first. */
export interface JobHits {
  readonly jobIds: readonly string[];
  /** Where to go on; null when the whole chain has been looked through. */
  readonly before: number | null;
}

export interface JobSearchLimits {
  readonly jobs: number;
  /** Looks no further after this time, so that no other question waits long. */
  readonly milliseconds: number;
  /** Milliseconds that only go forward. */
  readonly now: () => number;
  /** Events in the first stretch of the chain that is looked through in one read; the next ones are larger. */
  readonly firstStretch?: number;
}

const usualStretch = 50_000;
const longestStretch = 400_000;

export type JobSearch = (filter: CaptureFilter, before: number | null, limits: JobSearchLimits) => JobHits;

/**
 * Finds jobs by the index tables alone, in stretches of the chain from its end backwards: however rare the hits are,
 * no read is long.
 */
export function createJobSearch(database: Database): JobSearch {
  const rangeOf = createSequenceRange(database);

  function extentOf({ personId, from, until }: CaptureFilter, { driver }: JobQuery): SequenceRange {
    if (driver !== null) return extentOfValue(database, driver.table, driver.column, driver.value);
    const time = rangeOf('job', from, until);
    if (personId === undefined) return time;
    const opened = extentOfValue(database, 'job', 'person_id', personId);
    const read = extentOfValue(database, 'capture', 'person_id', personId);
    // A reading lies behind the opening of its job, however far: only the end is bounded by it.
    return { first: time.first, last: Math.min(time.last, Math.max(opened.last, read.last)) };
  }

  return (filter, before, limits) => {
    const query = jobQueryOf(filter);
    const statement = database.prepare<unknown[], { jobId: string; place: number }>(query.sql);
    const { first, last } = extentOf(filter, query);
    const started = limits.now();
    const found: { jobId: string; place: number }[] = [];
    let end = before === null ? last : Math.min(last, before - 1);
    for (
      let stretch = limits.firstStretch ?? usualStretch;
      end >= first;
      stretch = Math.min(stretch * 2, longestStretch)
    ) {
      const start = Math.max(first, end - stretch + 1);
      found.push(...statement.all(start, end, ...query.values, limits.jobs + 1 - found.length));
      if (found.length > limits.jobs) {
        const page = found.slice(0, limits.jobs);
        return { jobIds: page.map(({ jobId }) => jobId), before: page.at(-1)?.place ?? null };
      }
      end = start - 1;
      if (limits.now() - started > limits.milliseconds) break;
    }
    return { jobIds: found.map(({ jobId }) => jobId), before: end >= first ? end + 1 : null };
  };
}

/** From the first to the last place of a value; nothing (`last` below `first`) where there is none. */
function extentOfValue(database: Database, table: string, column: string, value: string): SequenceRange {
  const edge = (order: 'ASC' | 'DESC') =>
    database
      .prepare<[string], number>(
        `SELECT sequence FROM ${table} WHERE ${column} = ? ORDER BY sequence ${order} LIMIT 1`,
      )
      .pluck()
      .get(value);
  return { first: edge('ASC') ?? 1, last: edge('DESC') ?? 0 };
}
