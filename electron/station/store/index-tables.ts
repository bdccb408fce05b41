import type { IndexRow, OpenedJob } from '../../../shared/evidence/evidence-rules.ts';
import type { Database } from './sqlite.ts';

/** Column of each property, per index table. The database's names follow from the code's. */
const columns = {
  job: ['jobId', 'serial', 'headId', 'personId', 'openedAt', 'sequence'],
  job_end: ['sequence', 'jobId', 'phase', 'at'],
  capture: [
    'sequence',
    'captureId',
    'jobId',
    'serial',
    'headId',
    'stepId',
    'quantity',
    'instrumentId',
    'certificateHash',
    'decision',
    'personId',
    'at',
  ],
  consumption: ['sequence', 'lotId', 'jobId', 'at'],
} as const satisfies Record<IndexRow['table'], readonly string[]>;

export const indexTables = Object.keys(columns) as readonly IndexRow['table'][];

function columnOf(property: string): string {
  return property.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
}

/** `job_id AS "jobId", …`: the columns of an index table under the names of the code. */
export function selectionOf(table: IndexRow['table']): string {
  return columns[table].map((property) => `${table}.${columnOf(property)} AS "${property}"`).join(', ');
}

/** Writes index rows beside their events. */
export interface IndexWriter {
  insert(row: IndexRow): void;
}

export function createIndexWriter(database: Database): IndexWriter {
  const statements = Object.fromEntries(
    indexTables.map((table) => {
      const names = columns[table];
      const sql = `INSERT INTO ${table} (${names.map(columnOf).join(', ')}) VALUES (${names.map((name) => `@${name}`).join(', ')})`;
      return [table, database.prepare(sql)];
    }),
  );
  const openJob = database.prepare('INSERT INTO open_job (job_id) VALUES (?)');
  const endJob = database.prepare('DELETE FROM open_job WHERE job_id = ?');
  return {
    insert(row) {
      statements[row.table]?.run(row);
      if (row.table === 'job') openJob.run(row.jobId);
      if (row.table === 'job_end') endJob.run(row.jobId);
    },
  };
}

/** The job of a `job/<id>` stream as the index has it. */
export type FindOpenedJob = (stream: string) => OpenedJob | undefined;

export function createFindOpenedJob(database: Database): FindOpenedJob {
  const find = database.prepare<[string], OpenedJob>(
    'SELECT job_id AS "jobId", serial, head_id AS "headId" FROM job WHERE job_id = ?',
  );
  return (stream) => (stream.startsWith('job/') ? find.get(stream.slice('job/'.length)) : undefined);
}

/** Brings the list of open jobs in line with the index, if it is not. Cheap when it is. */
export function repairOpenJobs(database: Database): void {
  const agrees = database
    .prepare(
      'SELECT (SELECT count(*) FROM job) - (SELECT count(DISTINCT job_id) FROM job_end) = (SELECT count(*) FROM open_job)',
    )
    .pluck()
    .get();
  if (agrees === 1) return;
  database
    .transaction(() => {
      database.exec('DELETE FROM open_job');
      database.exec('INSERT INTO open_job SELECT job_id FROM job EXCEPT SELECT job_id FROM job_end');
    })
    .immediate();
}
