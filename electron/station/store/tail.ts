import { statSync } from 'node:fs';
import { join } from 'node:path';
import { firstSealLink, sealText } from '../../../shared/evidence/seal.ts';
import { isSignedBy } from '../signing-key.ts';
import { databaseName } from './database.ts';
import { hexOf } from './event-row.ts';
import type { EvidenceReader } from './evidence-reader.ts';
import { readHead } from './head-file.ts';
import { keyIntroductionOf } from './known-keys.ts';
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

interface SealRow {
  readonly sequence: number;
  readonly key_id: string;
  readonly signature: Uint8Array;
}

function checkSeal(database: Database, reader: EvidenceReader): void {
  const [last] = reader.eventsSince(reader.lastSequence() - 1, 1);
  if (last === undefined) return;
  const seal = database
    .prepare<[], SealRow>('SELECT sequence, key_id, signature FROM seal ORDER BY sequence DESC LIMIT 1')
    .get();
  if (seal?.sequence !== last.sequence) {
    throw damaged(`event ${last.sequence} was not written by this station: nothing seals it`);
  }
  const link = database
    .prepare<[number], Uint8Array>('SELECT link FROM seal WHERE sequence < ? ORDER BY sequence DESC LIMIT 1')
    .pluck()
    .get(last.sequence);
  const previousSeal = link === undefined ? firstSealLink : hexOf(link);
  const text = sealText({ sequence: last.sequence, hash: last.hash, previousSeal });
  const key = reader
    .readStream('station')
    .map((event) => (event.kind === 'keyIntroduced' ? keyIntroductionOf(event.body) : undefined))
    .find((introduction) => introduction?.keyId === seal.key_id);
  if (key === undefined || !isSignedBy(key.publicKey, text, seal.signature)) {
    throw damaged(`event ${last.sequence} was changed: the station's seal does not fit`);
  }
}

function damaged(what: string): StoreFault {
  return new StoreFault(
    'damaged',
    `${what}; run verify to see more and restore with the newest backup, it keeps a copy of what is here`,
  );
}
