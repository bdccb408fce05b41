import { describe, expect, it } from 'vitest';
import { jobQueryOf } from '../../../electron/station/audit/job-search-query.ts';
import { openDatabaseToRead } from '../../../electron/station/store/database.ts';
import { createEvidenceReader } from '../../../electron/station/store/evidence-reader.ts';
import type { CaptureFilter } from '../../../electron/station/store/filters.ts';
import type { Database } from '../../../electron/station/store/sqlite.ts';
import { openTestStore, temporaryFolder } from './bench.ts';

/** The texts of all statements that a piece of work prepares. */
function statementsOf(database: Database, work: (database: Database) => void): string[] {
  const texts: string[] = [];
  const recording = new Proxy(database, {
    get(target, name) {
      if (name !== 'prepare') return Reflect.get(target, name);
      return (sql: string) => {
        texts.push(sql);
        return target.prepare(sql);
      };
    },
  });
  work(recording);
  return texts;
}

function planOf(database: Database, sql: string): string[] {
  const values = sql.match(/\?/g) ?? [];
  const explained = database.prepare<unknown[], { detail: string }>(`EXPLAIN QUERY PLAN ${sql}`);
  return explained.all(...values.map(() => 1)).map(({ detail }) => detail);
}

/** Reads a whole table or the whole of one of its indexes: slow among a million jobs. */
const wholeTable = /^SCAN (?!open_job\b|\(subquery)(\w+)/;

/** A station with an empty database: SQLite plans without statistics, as among a million jobs. */
function emptyDatabase(): Database {
  const folder = temporaryFolder();
  openTestStore(folder).close();
  return openDatabaseToRead(folder);
}

const filters: readonly CaptureFilter[] = [
  ...[{ serial: 'a' }, { headId: 'a' }, { personId: 'a' }, { instrumentId: 'a' }, { certificateHash: 'a' }],
  ...[{ decision: 'fail' }, { decision: 'pass' }, { quantity: 'mass' }, { lotId: 'a' }, {}],
  { headId: 'a', quantity: 'mass', from: '2026-01-01T00:00:00Z' },
  { instrumentId: 'a', personId: 'b', until: '2026-01-01T00:00:00Z' },
  { lotId: 'a', decision: 'fail', headId: 'c' },
];

describe('the plans of the queries, without statistics', () => {
  it('go through no whole table where the bench reads', () => {
    const database = emptyDatabase();
    const texts = statementsOf(database, (recording) => createEvidenceReader(recording));
    expect(texts.length).toBeGreaterThan(12);
    const slow = texts.flatMap((sql) => {
      const plan = planOf(database, sql);
      // The newest rows, from the end of the table on, up to a limit.
      const isBounded = plan.some((step) => wholeTable.test(step)) && /DESC LIMIT (\d+|\?)\)/.test(sql);
      return isBounded ? [] : plan.filter((step) => wholeTable.test(step)).map((step) => `${step}: ${sql}`);
    });
    database.close();
    expect(slow).toEqual([]);
  });

  it.each(filters)('search jobs by %j along one index, in the order of the chain', (filter) => {
    const database = emptyDatabase();
    const plan = planOf(database, jobQueryOf(filter).sql);
    database.close();
    expect(plan.filter((step) => wholeTable.test(step) || step.includes('TEMP B-TREE'))).toEqual([]);
  });

  it.each(filters)(
    'walk readings and jobs for an export by %j without sorting all of them at each page',
    (filter) => {
      const database = emptyDatabase();
      const texts = statementsOf(database, (recording) => {
        const reader = createEvidenceReader(recording);
        reader.findCaptures(filter, 0, 100);
        reader.findJobs(filter, 0, 20);
      });
      const plans = texts.slice(-2).flatMap((sql) => planOf(database, sql));
      database.close();
      expect(plans.filter((step) => wholeTable.test(step))).toEqual([]);
      // The readings of the jobs of one lot are few: they may be sorted.
      const isSorted = plans.some((step) => step.includes('TEMP B-TREE'));
      expect(isSorted).toBe(filter.lotId !== undefined && filter.serial === undefined);
    },
  );
});
