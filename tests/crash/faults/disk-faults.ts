import { execFileSync } from 'node:child_process';
import {
  closeSync,
  openSync,
  readdirSync,
  readlinkSync,
  rmSync,
  statfsSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { databaseName } from '../../../electron/station/store/database.ts';
import { openSqlite } from '../../../electron/station/store/sqlite.ts';

/** A disk or a neighbour that makes the n-th write of a command fail. Begins and ends inside the station's process. */
export interface DiskFault {
  /** @param writeNumber from 1; what fails at the first write whatever it is called ignores it */
  begin(writeNumber: number): void;
  end(): void;
  dispose(): void;
}

// SQLite's file format, 4.1 and 4.2: a WAL has a header of 32 bytes, then frames of 24 bytes and one page.
const walHeaderBytes = 32;
const frameHeaderBytes = 24;
/** Smaller than what makes SQLite begin the WAL anew, so that it always grows. */
const longestWalBytes = 2 ** 20;

/** Bytes that the WAL has after the first `writes` writes behind `size`: frame headers and pages in turn. */
function walSizeAfter(size: number, writes: number, pageBytes: number): number {
  const start = Math.max(size, walHeaderBytes);
  const pairs = Math.floor(writes / 2);
  return start + pairs * (frameHeaderBytes + pageBytes) + (writes % 2) * frameHeaderBytes;
}

/** No file may grow beyond a limit: the n-th write behind it fails with EFBIG, as on a disk that is full. */
function fullDisk(folder: string): DiskFault {
  const wal = join(folder, `${databaseName}-wal`);
  const pageBytes = pageBytesOf(folder);
  const limit = (bytes: number | 'unlimited') =>
    execFileSync('prlimit', ['--pid', String(process.pid), `--fsize=${bytes}:`]);
  return {
    begin(writeNumber) {
      if (sizeOf(wal) > longestWalBytes) shorten(folder);
      limit(walSizeAfter(sizeOf(wal), writeNumber - 1, pageBytes));
    },
    end: () => limit('unlimited'),
    dispose: () => undefined,
  };
}

/** A file system that really has no room: as many pages are left as writes may succeed. */
function fullFileSystem(folder: string): DiskFault {
  const ballast = join(folder, 'ballast');
  const pageBytes = pageBytesOf(folder);
  return {
    begin(writeNumber) {
      const wal = join(folder, `${databaseName}-wal`);
      if (sizeOf(wal) > longestWalBytes) shorten(folder);
      const { bavail, bsize } = statfsSync(folder);
      const left = Math.max(0, bavail * bsize - (writeNumber - 1) * pageBytes);
      try {
        writeFileSync(ballast, Buffer.alloc(left));
      } catch {
        // What fits is enough.
      }
    },
    end: () => rmSync(ballast, { force: true }),
    dispose: () => undefined,
  };
}

/** The descriptor of the WAL cannot be written any more (EBADF): SQLite sees an input/output error. */
function failingWrites(folder: string): DiskFault {
  const wal = join(folder, `${databaseName}-wal`);
  let descriptor = -1;
  return {
    begin() {
      descriptor = descriptorOf(wal);
      reopen(descriptor, wal, 'r');
    },
    end: () => reopen(descriptor, wal, 'r+'),
    dispose: () => undefined,
  };
}

/** What is written goes nowhere, and the disk says so when it is asked to sync (EINVAL of /dev/null). */
function failingSync(folder: string): DiskFault {
  const wal = join(folder, `${databaseName}-wal`);
  let descriptor = -1;
  return {
    begin() {
      shorten(folder);
      descriptor = descriptorOf(wal);
      reopen(descriptor, '/dev/null', 'r+');
    },
    end: () => reopen(descriptor, wal, 'r+'),
    dispose: () => undefined,
  };
}

/** Another program holds the database. */
function heldDatabase(folder: string): DiskFault {
  const other = openSqlite(join(folder, databaseName), {});
  return {
    begin: () => other.exec('BEGIN IMMEDIATE'),
    end: () => other.exec('ROLLBACK'),
    dispose: () => other.close(),
  };
}

export const diskFaults: Readonly<Record<string, (folder: string) => DiskFault>> = {
  'full-disk': fullDisk,
  'full-file-system': fullFileSystem,
  'failing-writes': failingWrites,
  'failing-sync': failingSync,
  'held-database': heldDatabase,
};

function sizeOf(file: string): number {
  return statSync(file, { throwIfNoEntry: false })?.size ?? 0;
}

function pageBytesOf(folder: string): number {
  const database = openSqlite(join(folder, databaseName), { readonly: true });
  const bytes = Number(database.pragma('page_size', { simple: true }));
  database.close();
  return bytes;
}

/** Empties the WAL into the database, as any reader of the database may. */
function shorten(folder: string): void {
  const other = openSqlite(join(folder, databaseName), {});
  other.pragma('wal_checkpoint(TRUNCATE)');
  other.close();
}

/** Puts another file behind an open descriptor. */
function reopen(descriptor: number, file: string, flags: 'r' | 'r+'): void {
  closeSync(descriptor);
  const lower: number[] = [];
  for (let opened = openSync(file, flags); opened !== descriptor; opened = openSync(file, flags)) {
    lower.push(opened);
    if (lower.length > 64) throw new Error('the descriptor was taken by another file');
  }
  for (const opened of lower) closeSync(opened);
}

function descriptorOf(file: string): number {
  const own = '/proc/self/fd';
  const found = readdirSync(own).find((descriptor) => {
    try {
      return readlinkSync(join(own, descriptor)) === file;
    } catch {
      return false;
    }
  });
  if (found === undefined) throw new Error(`${file} is not open here`);
  return Number(found);
}
