import { statSync } from 'node:fs';
import { join } from 'node:path';
import { fromBase64 } from '../../../shared/evidence/base64.ts';
import { sealText } from '../../../shared/evidence/seal.ts';
import { isSignedBy } from '../signing-key.ts';
import { databaseName } from './database.ts';
import type { EvidenceReader } from './evidence-reader.ts';
import { readHead } from './head-file.ts';
import { keyInForce, readStationKeys } from './known-keys.ts';
import { readHeadFromSeals } from './seal-row.ts';
import type { Database } from './sqlite.ts';
import { StoreFault } from './store-fault.ts';

/** Above this a full structure check would hold up the start; `verify` does it then. */
const checkedAtStartBytes = 64 * 1024 * 1024;

/**
 * Refuses to build on a chain whose end is missing, not ours, or whose file is broken: a new event and its seal
 * would hide that.
 *
 * @throws StoreFault `damaged`
 */
export function checkTail(folder: string, database: Database, reader: EvidenceReader): void {
  if (statSync(join(folder, databaseName)).size <= checkedAtStartBytes) {
    const verdict = String(database.pragma('quick_check(1)', { simple: true }));
    if (verdict !== 'ok') throw damaged(`the database file is damaged (${verdict.split('\n')[0]})`);
  }
  checkSeal(database, reader);
  const head = readHead(folder);
  if (typeof head === 'string') return;
  const last = reader.lastSequence();
  if (last < head.sequence) {
    throw damaged(
      `the database ends at event ${last}, but ${head.sequence} were written: the end is missing`,
    );
  }
  if (reader.eventsSince(head.sequence - 1, 1)[0]?.hash !== head.hash) {
    throw damaged(
      `event ${head.sequence} is not the one that was written: another database lies in this folder`,
    );
  }
}

function checkSeal(database: Database, reader: EvidenceReader): void {
  const [last] = reader.eventsSince(reader.lastSequence() - 1, 1);
  if (last === undefined) return;
  const head = readHeadFromSeals(database);
  if (head?.sequence !== last.sequence) {
    throw damaged(`event ${last.sequence} was not written by this station: nothing seals it`);
  }
  const key = keyInForce(readStationKeys(reader), head.sequence);
  if (
    key?.keyId !== head.keyId ||
    !isSignedBy(key.publicKey, sealText(head), fromBase64(head.signature) ?? new Uint8Array())
  ) {
    throw damaged(`event ${last.sequence} was changed: the station's seal does not fit`);
  }
}

function damaged(what: string): StoreFault {
  return new StoreFault(
    'damaged',
    `${what}; run verify to see more and restore with the newest backup, it keeps a copy of what is here`,
  );
}
