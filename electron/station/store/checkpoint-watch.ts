import type { Database } from './sqlite.ts';

/** Works the write-ahead log into the database file while nobody waits for it. */
export interface CheckpointWatch {
  /** An append is on the disk and has been answered. */
  noteAppend(): void;
  stop(): void;
}

/** About 16 MB of log: a station that starts after a kill reads it in some hundredths of a second. */
const appendsBetween = 150;
/** Pages of the log at which SQLite does it itself, within a commit: for a program that never lets go. */
const mostPages = 8000;

/**
 * SQLite by itself does it within the commit that fills the log, every 70 captures, and that capture then waits about
 * ten times as long as the others. What goes wrong here is left to the next time and to that commit.
 */
export function createCheckpointWatch(database: Database): CheckpointWatch {
  database.pragma(`wal_autocheckpoint = ${mostPages}`);
  let appends = 0;
  let pending: NodeJS.Immediate | undefined;

  function checkpoint(): void {
    pending = undefined;
    appends = 0;
    try {
      // Passive: it waits for no reader and no reader waits for it.
      database.pragma('wal_checkpoint(PASSIVE)');
    } catch {
      // The log holds everything.
    }
  }

  return {
    noteAppend() {
      appends += 1;
      if (appends >= appendsBetween) pending ??= setImmediate(checkpoint);
    },
    stop() {
      if (pending !== undefined) clearImmediate(pending);
      pending = undefined;
    },
  };
}
