import { copyFileSync, existsSync, mkdirSync, readdirSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { databaseName, openDatabaseToRead } from './database.ts';
import { hexOf } from './event-row.ts';
import { lockFolder } from './folder-lock.ts';
import { type Head, headFileName, readHead } from './head-file.ts';
import { readHeadFromSeals } from './seal-row.ts';
import { StoreFault, withFaults } from './store-fault.ts';
import { syncFile, syncFolder } from './sync.ts';

export interface RestoreOptions {
  /** Folder of one backup, already verified. */
  readonly backup: string;
  /** The data folder. */
  readonly folder: string;
  /** Now, ISO 8601; names the folder of what is set aside. */
  readonly at: string;
  /** Restore also over newer, other or unreadable evidence, which is kept aside. */
  readonly setAside: boolean;
}

export interface Restored {
  /** Last event of the restored chain. */
  readonly sequence: number;
  /** Where what lay there before is kept; null when nothing lay there. */
  readonly keptIn: string | null;
  /** The signed end of what was set aside, when it is not part of the restored chain. */
  readonly lost: Head | null;
}

/**
 * Puts a backup in the place of a data folder's database. What lies there is moved to a folder beside, never
 * deleted. Refuses `newer_evidence` and `other_evidence` unless `setAside`.
 *
 * @throws StoreFault `held` while a station works there
 */
export function restoreBackup(options: RestoreOptions): Result<Restored> {
  const { backup, folder, at, setAside } = options;
  withFaults(() => mkdirSync(folder, { recursive: true, mode: 0o700 }));
  const lock = lockFolder(folder);
  try {
    const head = headOf(backup);
    if (head === 'unreadable' || head === undefined)
      return refuse('no_backup', 'BACKUP', 'holds no evidence');
    const lost = lostBy(head, backup, folder);
    if (lost.reason !== null && !setAside) return lost.reason;
    return withFaults(() => {
      const keptIn = setAsideEvidence(folder, at);
      for (const name of [databaseName, headFileName]) {
        copyFileSync(join(backup, name), join(folder, `${name}.new`));
        syncFile(join(folder, `${name}.new`));
        renameSync(join(folder, `${name}.new`), join(folder, name));
      }
      syncFolder(folder);
      return ok({ sequence: head.sequence, keptIn, lost: lost.head });
    });
  } finally {
    lock.release();
  }
}

/** Moves database, WAL and head of a data folder into a folder of their own there. Null when there is nothing. */
export function setAsideEvidence(folder: string, at: string): string | null {
  const names = readdirSync(folder).filter((name) => name.startsWith(databaseName) || name === headFileName);
  if (names.length === 0) return null;
  const stamp = new Date(at).toISOString().slice(0, 19).replaceAll(/[-:]/g, '');
  let keptIn = join(folder, `set-aside-${stamp}Z`);
  for (let count = 2; existsSync(keptIn); count++) keptIn = join(folder, `set-aside-${stamp}Z-${count}`);
  mkdirSync(keptIn, { mode: 0o700 });
  for (const name of names) renameSync(join(folder, name), join(keptIn, name));
  return keptIn;
}

/** What the restore would take out of the chain. */
function lostBy(
  restored: Head,
  backup: string,
  folder: string,
): { readonly head: Head | null; readonly reason: ReturnType<typeof refuse> | null } {
  if (!existsSync(join(folder, databaseName))) return { head: null, reason: null };
  const file = readHead(folder);
  const known = typeof file === 'string' ? null : file;
  const current = headOf(folder);
  if (current === undefined) return { head: null, reason: null };
  if (current === 'unreadable') {
    if (
      known !== null &&
      known.sequence <= restored.sequence &&
      hashAt(backup, known.sequence) === known.hash
    ) {
      return { head: null, reason: null };
    }
    const until = known === null ? '' : ` up to event ${known.sequence}`;
    return {
      head: known,
      reason: otherEvidence(`the database here cannot be read and may hold newer evidence${until}`),
    };
  }
  const newest = known !== null && known.sequence > current.sequence ? known : current;
  if (newest.sequence <= restored.sequence && hashAt(backup, newest.sequence) === newest.hash) {
    return { head: null, reason: null };
  }
  if (newest.sequence > restored.sequence && hashAt(folder, restored.sequence) === restored.hash) {
    const reason = refuse(
      'newer_evidence',
      'BACKUP',
      `ends at event ${restored.sequence}, but the data folder goes on to event ${newest.sequence}; take a newer backup, or say --set-aside to keep what is here beside`,
    );
    return { head: newest, reason };
  }
  return { head: newest, reason: otherEvidence('the data folder holds other evidence than the backup') };
}

function otherEvidence(what: string): ReturnType<typeof refuse> {
  return refuse('other_evidence', 'BACKUP', `${what}; say --set-aside to keep it beside and restore`);
}

function headOf(folder: string): Head | 'unreadable' | undefined {
  try {
    const database = openDatabaseToRead(folder);
    try {
      return readHeadFromSeals(database);
    } finally {
      database.close();
    }
  } catch (error) {
    if (error instanceof StoreFault && error.code === 'no_database') return undefined;
    return 'unreadable';
  }
}

function hashAt(folder: string, sequence: number): string | undefined {
  try {
    const database = openDatabaseToRead(folder);
    try {
      const hash = database
        .prepare<[number], Uint8Array>('SELECT hash FROM event WHERE sequence = ?')
        .pluck()
        .get(sequence);
      return hash && hexOf(hash);
    } finally {
      database.close();
    }
  } catch {
    return undefined;
  }
}
