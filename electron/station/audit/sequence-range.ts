import type { Database } from '../store/sqlite.ts';

/** Places in the chain, both included. */
export interface SequenceRange {
  readonly first: number;
  readonly last: number;
}

const hour = 3_600_000;
const times = { job: 'opened_at', capture: 'at' } as const;

/**
 * Where in the chain the jobs that were opened, or the readings that were taken, in a stretch of time lie (UTC, end not
 * included). The chain is in the order of the clock but for the jumps of the clock that it notes itself: the stretch is
 * widened by them, so that nothing of it is missed.
 */
export function createSequenceRange(database: Database) {
  const jumped = database
    .prepare<[], number>(
      `SELECT coalesce(sum(abs(json_extract(body, '$.byMilliseconds'))), 0) FROM event WHERE stream = 'clock'`,
    )
    .pluck();
  const last = database.prepare<[], number>('SELECT coalesce(max(sequence), 0) FROM event').pluck();
  const newestBefore = (table: keyof typeof times) =>
    database
      .prepare<[string], number>(
        `SELECT sequence FROM ${table} WHERE ${times[table]} < ? ORDER BY ${times[table]} DESC LIMIT 1`,
      )
      .pluck();
  const newest = { job: newestBefore('job'), capture: newestBefore('capture') };

  return (table: keyof typeof times, from: string | undefined, until: string | undefined): SequenceRange => {
    const margin = from === undefined && until === undefined ? 0 : hour + (jumped.get() ?? 0);
    const placeAt = (at: string, by: number) =>
      newest[table].get(new Date(Date.parse(at) + by).toISOString()) ?? 0;
    return {
      first: from === undefined ? 1 : placeAt(from, -margin) + 1,
      last: until === undefined ? (last.get() ?? 0) : placeAt(until, margin),
    };
  };
}
