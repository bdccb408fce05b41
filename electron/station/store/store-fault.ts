import { SqliteError } from './sqlite.ts';

export type StoreFaultCode =
  | 'held'
  | 'busy'
  | 'read_only'
  | 'disk_full'
  | 'disk_error'
  | 'cannot_open'
  | 'no_database'
  | 'not_ours'
  | 'newer_schema'
  | 'older_schema'
  | 'damaged'
  | 'key_unusable'
  | 'key_locked'
  | 'key_lost';

export interface StoreFaultOptions extends ErrorOptions {
  /** What the sentence names, where a window says it in words of its own. */
  readonly values?: Readonly<Record<string, string | number>>;
}

/** The database or its disk is at fault. Nothing was half-written; the same call may be made again. */
export class StoreFault extends Error {
  override readonly name = 'StoreFault';
  readonly code: StoreFaultCode;
  readonly values: Readonly<Record<string, string | number>>;

  /** @param message One plain sentence: what is wrong and what to do. */
  constructor(code: StoreFaultCode, message: string, options: StoreFaultOptions = {}) {
    super(message, options);
    this.code = code;
    this.values = options.values ?? {};
  }
}

const sentences: Readonly<Record<string, readonly [StoreFaultCode, string]>> = {
  SQLITE_BUSY: ['busy', 'another program holds the database; close it and try again'],
  SQLITE_LOCKED: ['busy', 'another program holds the database; close it and try again'],
  SQLITE_PROTOCOL: ['busy', 'another program holds the database; close it and try again'],
  SQLITE_READONLY: [
    'read_only',
    'the database may not be written; check the rights of the data folder and the disk',
  ],
  SQLITE_PERM: [
    'read_only',
    'the database may not be written; check the rights of the data folder and the disk',
  ],
  SQLITE_FULL: ['disk_full', 'the disk is full; free some space and try again'],
  SQLITE_NOLFS: ['disk_full', 'the disk takes no larger file; free some space and try again'],
  SQLITE_IOERR: ['disk_error', 'the disk failed to read or write; check the disk and try again'],
  SQLITE_CANTOPEN: [
    'cannot_open',
    'the database cannot be opened; check the path and the rights of the data folder',
  ],
  SQLITE_CORRUPT: [
    'damaged',
    'the database file is damaged; keep it, set it aside and restore the newest backup',
  ],
  SQLITE_NOTADB: [
    'damaged',
    'the database file is damaged; keep it, set it aside and restore the newest backup',
  ],
};

/** The fault behind an error of SQLite or of the file system, or undefined when it is neither (then it is a bug). */
export function storeFaultOf(error: unknown): StoreFault | undefined {
  if (error instanceof StoreFault) return error;
  if (!(error instanceof Error) || !('code' in error)) return undefined;
  const code = String(error.code);
  if (error instanceof SqliteError) {
    const known = sentences[code] ?? sentences[code.split('_').slice(0, 2).join('_')];
    if (known !== undefined) return new StoreFault(known[0], `${known[1]} (${code})`, { cause: error });
    // Our own SQL fits the schema that we made; where it does not, the schema was altered.
    if (code !== 'SQLITE_ERROR' || !/^no such (table|column)/.test(error.message)) return undefined;
    return new StoreFault('damaged', `the tables of the database file were altered: ${error.message}`, {
      cause: error,
    });
  }
  if (code === 'ENOSPC' || code === 'EDQUOT' || code === 'EFBIG') {
    return new StoreFault('disk_full', `the disk is full; free some space and try again (${code})`, {
      cause: error,
    });
  }
  if (code === 'EROFS' || code === 'EACCES' || code === 'EPERM') {
    return new StoreFault('read_only', `the data folder may not be written; check its rights (${code})`, {
      cause: error,
    });
  }
  if (code === 'EIO') {
    return new StoreFault('disk_error', 'the disk failed to read or write; check it and try again (EIO)', {
      cause: error,
    });
  }
  return undefined;
}

/** Runs a piece of work on the database; its errors come out as StoreFault where the disk or database is at fault. */
export function withFaults<Value>(work: () => Value): Value {
  try {
    return work();
  } catch (error) {
    throw storeFaultOf(error) ?? error;
  }
}
