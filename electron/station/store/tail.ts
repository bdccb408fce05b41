import { statSync } from 'node:fs';
import { join } from 'node:path';
import { databaseName } from './database.ts';
import { hexOf } from './event-row.ts';
import { readHead } from './head-file.ts';
import type { Database } from './sqlite.ts';
import { StoreFault } from './store-fault.ts';

/** Above this a full structure check would hold up the start; `verify` does it then. */
const checkedAtStartBytes = 64 * 1024 * 1024;

/**
 * Refuses to build on a chain whose end is missing or whose file is broken: a new event would hide the loss.
 *
 * @throws StoreFault `damaged`
 */
export function checkTail(folder: string, database: Database): void {
  if (statSync(join(folder, databaseName)).size <= checkedAtStartBytes) {
    const verdict = String(database.pragma('quick_check(1)', { simple: true }));
    if (verdict !== 'ok') throw damaged(`the database file is damaged (${verdict.split('\n')[0]})`);
  }
  const head = readHead(folder);
  if (typeof head === 'string') return;
  const found = database
    .prepare<[number], Uint8Array>('SELECT hash FROM event WHERE sequence = ?')
    .pluck()
    .get(head.sequence);
  if (found === undefined) {
    const last =
      database.prepare<[], number>('SELECT coalesce(max(sequence), 0) FROM event').pluck().get() ?? 0;
    throw damaged(
      `the database ends at event ${last}, but ${head.sequence} were written: the end is missing`,
    );
  }
  if (hexOf(found) !== head.hash) {
    throw damaged(
      `event ${head.sequence} is not the one that was written: another database lies in this folder`,
    );
  }
}

function damaged(what: string): StoreFault {
  return new StoreFault(
    'damaged',
    `${what}; run restore with the newest backup, it keeps a copy of what is here`,
  );
}
