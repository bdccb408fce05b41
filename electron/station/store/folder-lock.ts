import { existsSync, truncateSync } from 'node:fs';
import { join } from 'node:path';
import { openSqlite, SqliteError } from './sqlite.ts';
import { StoreFault, withFaults } from './store-fault.ts';

const lockName = 'station.lock';

/** Holds a data folder for one station process. */
export interface FolderLock {
  release(): void;
}

/**
 * Takes the data folder for this process: an exclusive transaction held open on a side file. The operating system
 * frees it when the process ends, however it ends, so nothing stale is left to clean up.
 *
 * @throws StoreFault `held` when another station has it
 */
export function lockFolder(folder: string): FolderLock {
  const file = join(folder, lockName);
  return withFaults(() => {
    try {
      return lockFile(file);
    } catch (error) {
      if (!isSpoiled(error)) throw error;
      // It holds nothing, and whoever reads it has its lock: nobody else works here. Emptied it is good again.
      truncateSync(file);
      return lockFile(file);
    }
  });
}

/** True while a station works in a data folder. Where none has worked yet nothing is made. */
export function isHeld(folder: string): boolean {
  if (!existsSync(join(folder, lockName))) return false;
  try {
    lockFolder(folder).release();
    return false;
  } catch (error) {
    if (error instanceof StoreFault && error.code === 'held') return true;
    throw error;
  }
}

function lockFile(file: string): FolderLock {
  const side = openSqlite(file, { timeout: 0 });
  try {
    side.exec('BEGIN EXCLUSIVE');
  } catch (error) {
    side.close();
    if (error instanceof SqliteError && error.code.startsWith('SQLITE_BUSY')) {
      throw new StoreFault(
        'held',
        'a station already works in this data folder; use that one or name another folder',
      );
    }
    throw error;
  }
  return { release: () => side.close() };
}

function isSpoiled(error: unknown): boolean {
  return error instanceof SqliteError && /^SQLITE_(NOTADB|CORRUPT)/.test(error.code);
}
