import { createHash } from 'node:crypto';
import { hashOfRawEvent, type RawEvent } from '../../../electron/station/audit/raw-event.ts';
import type { Database } from '../../../electron/station/store/sqlite.ts';
import { genesisHash } from '../../../shared/evidence/chain.ts';

interface Row {
  sequence: number;
  stream: string;
  version: number;
  kind: string;
  at: string;
  person_id: string | null;
  body: string;
}

/** Makes every hash of the chain anew from a place on, as somebody without the station's key can. */
export function rehashFrom(database: Database, first: number): void {
  const rows = database
    .prepare<[number], Row>('SELECT * FROM event WHERE sequence >= ? ORDER BY sequence')
    .all(first);
  const write = database.prepare('UPDATE event SET previous_hash = ?, hash = ? WHERE sequence = ?');
  let previousHash =
    database
      .prepare<[number], string>('SELECT lower(hex(hash)) FROM event WHERE sequence = ? - 1')
      .pluck()
      .get(first) ?? genesisHash;
  for (const row of rows) {
    const event: RawEvent = {
      ...{ sequence: row.sequence, stream: row.stream, version: row.version, kind: row.kind, at: row.at },
      ...{ personId: row.person_id, body: Buffer.from(row.body), previousHash, hash: '' },
    };
    const hash = hashOfRawEvent(event);
    write.run(Buffer.from(previousHash, 'hex'), Buffer.from(hash, 'hex'), row.sequence);
    previousHash = hash;
  }
}

/** Makes the decision of a capture a pass, or another one, in the event and in the index. */
export function forgeDecision(database: Database, sequence: number): void {
  const body = database
    .prepare<[number], string>('SELECT body FROM event WHERE sequence = ?')
    .pluck()
    .get(sequence)!;
  const forged = body.includes('"decision":"pass"')
    ? body.replace('"decision":"pass"', '"decision":"fail"')
    : body.replace(/"decision":"[a-z ]+"/, '"decision":"pass"');
  const decision = /"decision":"([a-z ]+)"/.exec(forged)?.[1];
  database.prepare('UPDATE event SET body = ? WHERE sequence = ?').run(forged, sequence);
  database.prepare('UPDATE capture SET decision = ? WHERE sequence = ?').run(decision, sequence);
}

/** Writes a record's body anew with a fitting hash, in the record and in the chain. */
export function forgeRecord(database: Database, sequence: number): void {
  const body = database
    .prepare<[number], string>('SELECT body FROM record WHERE sequence = ?')
    .pluck()
    .get(sequence)!;
  const forged = body.replace('"decision":"pass"', '"decision":"fail"');
  const hash = createHash('sha256').update(forged).digest();
  database.prepare('UPDATE record SET body = ?, hash = ? WHERE sequence = ?').run(forged, hash, sequence);
  const event = database
    .prepare<[number], string>('SELECT body FROM event WHERE sequence = ?')
    .pluck()
    .get(sequence)!;
  const renamed = event.replace(/"hash":"[0-9a-f]{64}"/, `"hash":"${hash.toString('hex')}"`);
  database.prepare('UPDATE event SET body = ? WHERE sequence = ?').run(renamed, sequence);
}
