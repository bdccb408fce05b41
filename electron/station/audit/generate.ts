import type { Clock } from '../../../drivers/port/clock.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { openSigningKey } from '../signing-key.ts';
import { createChainWriter } from '../store/chain-writer.ts';
import { openDatabase } from '../store/database.ts';
import { createEvidenceReader } from '../store/evidence-reader.ts';
import { lockFolder } from '../store/folder-lock.ts';
import { type Head, writeHead } from '../store/head-file.ts';
import { openStore } from '../store/open-store.ts';
import { putInventedDocuments } from './invented-documents.ts';
import { inventedJob } from './invented-job.ts';

export interface GenerateOptions {
  /** A data folder; what is there already stays, the invented jobs are added. */
  readonly folder: string;
  readonly clock: Clock;
  /** Jobs to add, and the number of the first one. */
  readonly count: number;
  readonly first: number;
  readonly onProgress?: (done: number) => void;
}

const batch = 200;
/** One job each quarter of an hour, day and night: a million of them are 28 years. */
const startOf = (number: number) => Date.UTC(2020, 0, 1) + number * 900_000;

/**
 * Fills a database with invented jobs through the writer of the real ones: every event sealed, every job with its
 * signed record. Only the waiting for the disk is left out: a batch is one transaction, not safe against power loss
 * while it runs.
 */
export function generateJobs({ folder, clock, count, first, onProgress }: GenerateOptions): void {
  const store = openStore({ folder, clock, createId: () => 'invented-station', rules: jobEvidence });
  const references = putInventedDocuments(store);
  store.close();
  const lock = lockFolder(folder);
  const database = openDatabase(folder, 1000);
  try {
    database.pragma('journal_mode = MEMORY');
    database.pragma('synchronous = OFF');
    database.pragma('cache_size = -200000');
    // What the record of a job is built from has just been written: it need not be read again.
    let written: StoredEvent[] = [];
    const reader = { ...createEvidenceReader(database), readStream: () => written };
    const writer = createChainWriter({ database, reader, rules: jobEvidence, key: openSigningKey(folder) });
    let head: Head | undefined;
    const writeBatch = database.transaction((from: number, until: number) => {
      writer.begin();
      for (let number = from; number < until; number++) {
        written = [];
        inventedJob(number, startOf(number), references).forEach((event, index) => {
          const stream = `job/${event.jobId}`;
          const target = { stream, version: index + 1, personId: event.personId, at: event.at };
          const stored = writer.writeEvent(target, { kind: event.kind, body: event });
          written.push(stored);
          writer.writeRecordAfter(stored);
          head = writer.seal(stream);
        });
      }
    });
    for (let done = 0; done < count; done += batch) {
      writeBatch.immediate(first + done, first + Math.min(count, done + batch));
      onProgress?.(Math.min(count, done + batch));
    }
    database.pragma('journal_mode = WAL');
    if (head !== undefined) writeHead(folder, head);
  } finally {
    database.close();
    lock.release();
  }
}
