import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { Clock } from '../../../drivers/port/clock.ts';
import { putInventedDocuments } from '../../../electron/station/audit/invented-documents.ts';
import { type InventedReferences, inventedJob } from '../../../electron/station/audit/invented-job.ts';
import { openStore, type StoreOptions } from '../../../electron/station/store/open-store.ts';
import type { Store } from '../../../electron/station/store/store.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import { appendJobEvent } from './append-job-event.ts';

/** An empty folder that goes away with the test. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'bandwright-store-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** A clock that moves one second at each look. */
export function tickingClock(start = Date.UTC(2026, 2, 2, 8)): Clock {
  let now = 0;
  return {
    nowMilliseconds: () => now,
    wallTime: () => {
      now += 1000;
      return new Date(start + now).toISOString();
    },
  };
}

/** A store that closes with the test. */
export function openTestStore(folder: string, options: Partial<StoreOptions> = {}): Store {
  let ids = 0;
  const store = openStore({
    folder,
    clock: tickingClock(),
    createId: () => `id-${++ids}`,
    rules: jobEvidence,
    ...options,
  });
  onTestFinished(() => store.close());
  return store;
}

/** Appends events of one job one by one, as a bench does. */
export function appendJobEvents(store: Store, events: readonly JobEvent[]): void {
  for (const event of events) appendJobEvent(store, event);
}

/** Writes whole invented jobs and returns their ids. */
export function writeInventedJobs(store: Store, count: number, first = 1): string[] {
  const references = putInventedDocuments(store);
  return Array.from({ length: count }, (_, index) => {
    const number = first + index;
    const events = inventedJob(number, Date.UTC(2026, 2, 2, 8) + number * 900_000, references);
    appendJobEvents(store, events);
    return events[0]!.jobId;
  });
}

/** The same jobs in one transaction, where many are wanted and how they came there does not matter. */
export function writeInventedJobsAtOnce(
  store: Store,
  count: number,
  first = 1,
  others: Partial<InventedReferences> = {},
): string[] {
  const references = { ...putInventedDocuments(store), ...others };
  const jobs = Array.from({ length: count }, (_, index) => {
    const number = first + index;
    const events = inventedJob(number, Date.UTC(2026, 2, 2, 8) + number * 900_000, references);
    return {
      stream: `job/${events[0]!.jobId}`,
      expectedVersion: 0,
      events: events.map((event) => ({ kind: event.kind, body: { ...event } })),
    };
  });
  const [head, ...also] = jobs;
  if (head === undefined) return [];
  const result = store.append({ ...head, also, personId: null });
  if (!result.ok) throw new Error(result.error.message);
  return jobs.map(({ stream }) => stream.slice('job/'.length));
}
