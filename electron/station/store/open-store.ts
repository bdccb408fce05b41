import { mkdirSync } from 'node:fs';
import type { Clock } from '../../../drivers/port/clock.ts';
import type { EvidenceRules } from '../../../shared/evidence/evidence-rules.ts';
import type { SigningKey } from '../signing-key.ts';
import { createAppender } from './appender.ts';
import { createCheckpointWatch } from './checkpoint-watch.ts';
import { createClockWatch } from './clock-watch.ts';
import { closeAsFound, openDatabase, openDatabaseToRead } from './database.ts';
import { createEvidenceReader, type EvidenceReader } from './evidence-reader.ts';
import { lockFolder } from './folder-lock.ts';
import { createHeadFile, type Head } from './head-file.ts';
import { repairOpenJobs } from './index-tables.ts';
import type { Database } from './sqlite.ts';
import { findStationKey, introduceFirstKey } from './station-key.ts';
import type { Store } from './store.ts';
import { withFaults } from './store-fault.ts';
import { checkTail } from './tail.ts';

export interface StoreOptions {
  /** The data folder; created when it is not there. */
  readonly folder: string;
  readonly clock: Clock;
  /** Makes a new id; names the station on the first run. */
  readonly createId: () => string;
  /** What events mean for index and records. */
  readonly rules: EvidenceRules;
  /** How long to wait for another program's lock on the database. Default 2000 ms. */
  readonly waitMs?: number;
}

/**
 * Opens the evidence of a data folder for writing and holds the folder until `close`. The first run creates the
 * database and the station key.
 *
 * @throws StoreFault: `held` by another station, `damaged`, `newer_schema`, `not_ours`, `read_only`, `disk_full`, `key_lost` …
 */
export function openStore(options: StoreOptions): Store {
  return openStoreWith(options, findStationKey, (store, key) =>
    introduceFirstKey(store, key, options.createId),
  );
}

/**
 * The same with a key from elsewhere.
 *
 * @param introduce called with the opened store before anybody else writes to it
 */
export function openStoreWith(
  options: StoreOptions,
  findKey: (folder: string, reader: EvidenceReader) => SigningKey,
  introduce: (store: Store, key: SigningKey) => void,
): Store {
  const { folder, clock, rules } = options;
  withFaults(() => mkdirSync(folder, { recursive: true, mode: 0o700 }));
  const lock = lockFolder(folder);
  let database: Database | undefined;
  try {
    database = openDatabase(folder, options.waitMs ?? 2000);
    const clockWatch = createClockWatch(clock);
    const opened = database;
    return withFaults(() => {
      const reader = createEvidenceReader(opened);
      checkTail(folder, opened, reader);
      const key = findKey(folder, reader);
      repairOpenJobs(opened);
      const appender = createAppender({ database: opened, reader, rules, key, clockWatch });
      const store = composeStore(folder, opened, { reader, appender, key }, () => lock.release());
      introduce(store, key);
      return store;
    });
  } catch (error) {
    if (database !== undefined) closeAsFound(folder, database);
    lock.release();
    throw error;
  }
}

/** Opens the evidence of a data folder for reading, also while a station writes. Close it. */
export function openEvidence(folder: string): EvidenceReader & { close(): void } {
  const database = openDatabaseToRead(folder);
  try {
    const reader = withFaults(() => createEvidenceReader(database));
    return { ...reader, close: () => database.close() };
  } catch (error) {
    database.close();
    throw error;
  }
}

interface Parts {
  readonly reader: EvidenceReader;
  readonly appender: ReturnType<typeof createAppender>;
  readonly key: SigningKey;
}

function composeStore(folder: string, database: Database, parts: Parts, release: () => void): Store {
  const { reader, appender, key } = parts;
  const headFile = createHeadFile(folder);
  const checkpoints = createCheckpointWatch(database);
  const listeners = new Set<() => void>();
  let lags = false;
  function keepHead(head: Head): void {
    checkpoints.noteAppend();
    try {
      headFile.write(head);
      lags = false;
    } catch {
      // The commit stands. The next one writes the head again; a head that lags is no loss.
      lags = true;
    }
  }
  function followCommit(head: Head | undefined): void {
    if (head === undefined) return;
    keepHead(head);
    for (const listener of listeners) listener();
  }
  return {
    ...reader,
    append(request) {
      const result = withFaults(() => appender.append(request));
      if (!result.ok) return result;
      followCommit(result.value.head);
      return { ok: true, value: result.value.events };
    },
    putDocument(kind, body) {
      const { hash, head } = withFaults(() => appender.putDocument({ kind, body }));
      followCommit(head);
      return hash;
    },
    keyId: key.keyId,
    headLags: () => lags,
    onCommit(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    close() {
      checkpoints.stop();
      headFile.close();
      database.close();
      release();
    },
  };
}
