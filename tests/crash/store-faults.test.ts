import { execFileSync, spawn } from 'node:child_process';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openSqlite, SqliteError } from '../../electron/station/store/sqlite.ts';
import { storeFaultOf } from '../../electron/station/store/store-fault.ts';
import { verdictOn } from '../station/audit/tampering.ts';
import { openTestStore, temporaryFolder, writeInventedJobs } from '../station/store/bench.ts';

/** `FAULT_POINTS=200 npx vitest run …` for the long run. */
const points = Number(process.env.FAULT_POINTS ?? 8);

interface Outcome {
  readonly faults: readonly string[];
  readonly written: readonly string[];
  readonly code: number | null;
}

/** Runs a station in which no file may grow beyond a limit; at each fault the limit is raised a little. */
function runWithLimit(folder: string, kibibytes: number): Promise<Outcome> {
  const script = join(import.meta.dirname, 'store-faulty-disk.ts');
  // Node ignores SIGXFSZ, so that a write beyond the limit fails with EFBIG, as on a full disk.
  const child = spawn(
    'bash',
    ['-c', `ulimit -S -f ${kibibytes}; exec "$0" "$1" "$2"`, process.execPath, script, folder],
    {
      stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
    },
  );
  const faults: string[] = [];
  const written: string[] = [];
  let limit = kibibytes;
  child.on('message', (message: { fault?: string; written?: string }) => {
    if (message.written !== undefined) written.push(message.written);
    if (message.fault === undefined) return;
    faults.push(message.fault);
    limit += faults.length > 20 ? 100_000 : 4;
    execFileSync('prlimit', ['--pid', String(child.pid), `--fsize=${limit * 1024}:`]);
    child.send('room');
  });
  return new Promise((resolve) => child.once('exit', (code) => resolve({ faults, written, code })));
}

describe('a disk that is full', () => {
  it(`at any of ${points} points is said, nothing is half-written, and the same append goes through later`, {
    timeout: 60_000 + points * 3000,
  }, async () => {
    const seen = new Set<string>();
    for (let point = 0; point < points; point++) {
      const folder = temporaryFolder();
      // From the first page behind an opened store to beyond what a job needs.
      const { faults, written, code } = await runWithLimit(
        folder,
        420 + point * Math.max(1, Math.floor(420 / points)),
      );
      expect(code, `point ${point}`).toBe(0);
      expect(written).toHaveLength(7);
      for (const fault of faults) seen.add(fault);
      const store = openTestStore(folder);
      const stored = store.readStream('job/invented-00000001').map(({ hash }) => hash);
      expect(stored).toEqual(written);
      store.close();
      expect(verdictOn(folder)).toMatchObject({ intact: true, problems: [] });
    }
    expect([...seen].every((fault) => fault === 'disk_full' || fault === 'disk_error')).toBe(true);
    expect(seen.size).toBeGreaterThan(0);
  });
});

describe('a database that another program holds', () => {
  it('is said, and the same append goes through when it is free', () => {
    const folder = temporaryFolder();
    const store = openTestStore(folder, { waitMs: 20 });
    const other = openSqlite(join(folder, 'station.sqlite'), {});
    other.exec('BEGIN IMMEDIATE');
    const before = store.lastSequence();
    expect(() => writeInventedJobs(store, 1)).toThrow(
      expect.objectContaining({ name: 'StoreFault', code: 'busy' }),
    );
    expect(store.lastSequence()).toBe(before);
    other.exec('ROLLBACK');
    other.close();
    writeInventedJobs(store, 1);
    store.close();
    expect(verdictOn(folder).intact).toBe(true);
  });

  it('and written to is no longer continued: a seal would vouch for what is not ours', () => {
    const folder = temporaryFolder();
    const store = openTestStore(folder);
    writeInventedJobs(store, 1);
    const other = openSqlite(join(folder, 'station.sqlite'), {});
    other.exec(
      "INSERT INTO event SELECT sequence + 1, 'workshop', 1, kind, at, person_id, body, hash, hash FROM event ORDER BY sequence DESC LIMIT 1",
    );
    other.close();
    expect(() => writeInventedJobs(store, 1, 5)).toThrow(expect.objectContaining({ code: 'damaged' }));
  });
});

describe('errors of SQLite and of the file system', () => {
  it('become faults with a sentence that says what to do; others stay what they are', () => {
    const codes: [string, string][] = [
      ['SQLITE_BUSY_SNAPSHOT', 'busy'],
      ['SQLITE_READONLY_DIRECTORY', 'read_only'],
      ['SQLITE_FULL', 'disk_full'],
      ['SQLITE_IOERR_WRITE', 'disk_error'],
      ['SQLITE_CORRUPT_INDEX', 'damaged'],
      ['SQLITE_NOTADB', 'damaged'],
      ['SQLITE_CANTOPEN_ISDIR', 'cannot_open'],
    ];
    for (const [code, expected] of codes) {
      const fault = storeFaultOf(new SqliteError('x', code));
      expect(fault).toMatchObject({ code: expected, message: expect.stringContaining(';') });
    }
    expect(storeFaultOf(Object.assign(new Error('x'), { code: 'ENOSPC' }))).toMatchObject({
      code: 'disk_full',
    });
    expect(storeFaultOf(new SqliteError('x', 'SQLITE_CONSTRAINT_CHECK'))).toBeUndefined();
    expect(storeFaultOf(new TypeError('bug'))).toBeUndefined();
  });
});
