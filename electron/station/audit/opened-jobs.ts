import type { OpenedJob } from '../../../shared/evidence/evidence-rules.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { createFindOpenedJob } from '../store/index-tables.ts';
import { attempt } from './naming.ts';
import { intactEventOf, rawEventColumns } from './raw-event.ts';
import type { Verification } from './verification.ts';

/** The jobs of `job/<id>` streams as their first events have it; the index stands in for a first event that was altered. */
export interface OpenedJobs {
  /** Keeps the job that this event opens at hand. */
  learn(event: StoredEvent): void;
  of(event: Pick<StoredEvent, 'stream'>): OpenedJob | undefined;
  /** The event at a place in the chain, if it is intact. */
  eventAt(sequence: number): StoredEvent | undefined;
}

/** Jobs at the bench at the same time are few; this many are kept. */
const kept = 2000;

export function createOpenedJobs({ database, rules }: Pick<Verification, 'database' | 'rules'>): OpenedJobs {
  const jobs = new Map<string, OpenedJob>();
  const firstOf = database.prepare<[string]>(
    `SELECT ${rawEventColumns} FROM event WHERE stream = ? AND version = 1`,
  );
  const at = database.prepare<[number]>(`SELECT ${rawEventColumns} FROM event WHERE sequence = ?`);
  const findIndexed = createFindOpenedJob(database);

  function openedBy(event: StoredEvent): OpenedJob | undefined {
    const row = rules.indexRows(event, undefined).find(({ table }) => table === 'job');
    return row?.table === 'job' ? { jobId: row.jobId, serial: row.serial, headId: row.headId } : undefined;
  }

  function keep(stream: string, job: OpenedJob): OpenedJob {
    jobs.set(stream, job);
    if (jobs.size > kept) for (const oldest of jobs.keys()) return jobs.delete(oldest) ? job : job;
    return job;
  }

  return {
    learn(event) {
      if (event.version !== 1 || !event.stream.startsWith('job/')) return;
      const job = attempt(() => openedBy(event));
      if (job !== undefined) keep(event.stream, job);
    },
    of({ stream }) {
      if (!stream.startsWith('job/')) return undefined;
      const known = jobs.get(stream);
      if (known !== undefined) return known;
      const first = attempt(() => intactEventOf(firstOf.get(stream)));
      const job = (first && attempt(() => openedBy(first))) ?? attempt(() => findIndexed(stream));
      return job && keep(stream, job);
    },
    eventAt: (sequence) => attempt(() => intactEventOf(at.get(sequence))),
  };
}
