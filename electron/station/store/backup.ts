import { existsSync, mkdirSync, readdirSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { databaseName, openDatabaseToRead } from './database.ts';
import { writeHead } from './head-file.ts';
import { readHeadFromSeals } from './seal-row.ts';
import { openSqlite } from './sqlite.ts';
import { StoreFault, withFaults } from './store-fault.ts';
import { syncFile, syncFolder } from './sync.ts';

export interface BackupOptions {
  /** The data folder; a station may be writing in it. */
  readonly folder: string;
  /** Where backups are kept, each in a folder of its own. */
  readonly target: string;
  /** Now, ISO 8601 with offset; names the backup. */
  readonly at: string;
  /** How many backups stay; the oldest go when a new one has been verified. */
  readonly keep: number;
  readonly verify: (folder: string) => Verdict;
}

interface Verdict {
  readonly intact: boolean;
  readonly problemCount: number;
}

export interface Backup extends Verdict {
  /** Folder of this backup. One that did not verify ends in `.not-intact`. */
  readonly path: string;
  /** Last event that it holds. */
  readonly sequence: number;
  /** Folders of old backups that went. */
  readonly removed: readonly string[];
}

const nameShape = /^bandwright-\d{8}T\d{9}Z-\d{10}$/;

/**
 * Copies the evidence into a new folder under `target` while the station works, verifies the copy, and lets the
 * oldest backups go. A copy with findings is kept too, but then no older one goes. The station's private key is not
 * in it: a backup may lie where others can read.
 *
 * @throws StoreFault `no_database`, `disk_full` …
 */
export async function writeBackup(options: BackupOptions): Promise<Backup> {
  const { folder, target, at, keep, verify } = options;
  const stamp = new Date(at).toISOString().replaceAll(/[-:.]/g, '');
  const partial = join(target, `bandwright-${stamp}.partial`);
  withFaults(() => {
    rmSync(partial, { recursive: true, force: true });
    mkdirSync(partial, { recursive: true, mode: 0o700 });
  });
  try {
    const sequence = await copyDatabase(folder, partial);
    const { intact, problemCount } = verify(partial);
    const name = `bandwright-${stamp}-${String(sequence).padStart(10, '0')}${intact ? '' : '.not-intact'}`;
    const path = join(target, name);
    withFaults(() => renameSync(partial, path));
    syncFolder(target);
    const removed = intact ? rotate(target, keep, path) : [];
    return { path, sequence, removed, intact, problemCount };
  } catch (error) {
    rmSync(partial, { recursive: true, force: true });
    throw error;
  }
}

/** Verified backups under a folder, oldest first. */
export function listBackups(target: string): readonly string[] {
  if (!existsSync(target)) return [];
  return readdirSync(target)
    .filter((name) => nameShape.test(name))
    .sort()
    .map((name) => join(target, name));
}

/** One step for the whole file: it reads one state of the database, however much the station writes meanwhile. */
const allPages = 0x7fffffff;

async function copyDatabase(folder: string, partial: string): Promise<number> {
  const source = openDatabaseToRead(folder);
  const file = join(partial, databaseName);
  try {
    await source.backup(file, { progress: () => allPages });
  } finally {
    source.close();
  }
  return withFaults(() => {
    const copy = openSqlite(file, {});
    // A single file, that opens on read-only media too.
    copy.pragma('journal_mode = DELETE');
    const head = readHeadFromSeals(copy);
    copy.close();
    if (head === undefined)
      throw new StoreFault('no_database', 'there is nothing to back up: the database is empty');
    writeHead(partial, head);
    syncFile(file);
    syncFolder(partial);
    return head.sequence;
  });
}

function rotate(target: string, keep: number, newest: string): readonly string[] {
  const old = listBackups(target).filter((path) => path !== newest);
  const removed = old.slice(0, Math.max(0, old.length - (keep - 1)));
  for (const path of removed) rmSync(path, { recursive: true, force: true });
  return removed;
}
