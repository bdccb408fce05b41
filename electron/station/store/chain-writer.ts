import { toBase64 } from '../../../shared/evidence/base64.ts';
import { canonicalJson, type JsonObject } from '../../../shared/evidence/canonical-json.ts';
import { eventHash, genesisHash } from '../../../shared/evidence/chain.ts';
import type { EvidenceRules } from '../../../shared/evidence/evidence-rules.ts';
import { firstSealLink, sealLink, sealText } from '../../../shared/evidence/seal.ts';
import { recordSignatureText } from '../../../shared/evidence/signed-record.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import type { SigningKey } from '../signing-key.ts';
import { bytesOf, eventColumns, hexOf } from './event-row.ts';
import type { EvidenceReader } from './evidence-reader.ts';
import type { Head } from './head-file.ts';
import { createFindOpenedJob, createIndexWriter } from './index-tables.ts';
import { sha256 } from './sha256.ts';
import type { Database } from './sqlite.ts';
import type { NewDocument, NewEvent } from './store.ts';

export interface WriterParts {
  readonly database: Database;
  readonly reader: EvidenceReader;
  readonly rules: EvidenceRules;
  readonly key: SigningKey;
}

/** Where an event goes. */
export interface Target {
  readonly stream: string;
  readonly version: number;
  readonly personId: string | null;
  readonly at: string;
}

/** The end of the chain. */
export interface Tail {
  readonly sequence: number;
  readonly hash: string;
  /** Null for an empty chain. */
  readonly at: string | null;
}

const emptyTail: Tail = { sequence: 0, hash: genesisHash, at: null };

/** Writes single links. Always inside a transaction of the appender. */
export interface ChainWriter {
  /** Reads the end of the chain; at the beginning of each transaction, before anything else. */
  begin(): Tail;
  /** The end of the chain with what this transaction has written. */
  tail(): Tail;
  /** The next link with its index rows. */
  writeEvent(target: Target, event: NewEvent): StoredEvent;
  /** Puts a document unless it is there; the event that says so, or undefined. */
  writeDocument(document: NewDocument, by: Pick<Target, 'personId' | 'at'>): StoredEvent | undefined;
  /** Builds and signs the record when this event gives its job a new one. */
  writeRecordAfter(event: StoredEvent): void;
  /** Signs the end of the chain. `stream` is what the append was about. */
  seal(stream: string): Head;
}

export function createChainWriter({ database, reader, rules, key }: WriterParts): ChainWriter {
  const indexWriter = createIndexWriter(database);
  const findOpenedJob = createFindOpenedJob(database);
  const tailRow = database.prepare<[], { sequence: number; hash: Uint8Array; at: string }>(
    'SELECT sequence, hash, at FROM event ORDER BY sequence DESC LIMIT 1',
  );
  const endBefore = database
    .prepare<[string, number], 1>('SELECT 1 FROM job_end WHERE job_id = ? AND sequence < ?')
    .pluck();
  const lastLink = database
    .prepare<[], Uint8Array>('SELECT link FROM seal ORDER BY sequence DESC LIMIT 1')
    .pluck();
  const hasDocument = database.prepare<[Uint8Array], 1>('SELECT 1 FROM document WHERE hash = ?').pluck();
  const insertEvent = insertInto(database, 'event', eventColumns);
  const insertSeal = insertInto(database, 'seal', 'sequence, stream, key_id, signature, link');
  const insertDocument = insertInto(database, 'document', 'hash, kind, body');
  const insertRecord = insertInto(
    database,
    'record',
    'sequence, job_id, revision, serial, body, hash, key_id, signature',
  );

  let tail: Tail = emptyTail;

  function begin(): Tail {
    const row = tailRow.get();
    tail = row === undefined ? emptyTail : { sequence: row.sequence, hash: hexOf(row.hash), at: row.at };
    return tail;
  }

  function writeEvent({ stream, version, personId, at }: Target, { kind, body }: NewEvent): StoredEvent {
    const bodyText = canonicalJson(body);
    const sequence = tail.sequence + 1;
    const previousHash = tail.hash;
    const envelope = { sequence, stream, version, kind, at, personId, bodyText, previousHash };
    const hash = eventHash(envelope, sha256);
    const hashes = [bytesOf(previousHash), bytesOf(hash)];
    insertEvent.run(sequence, stream, version, kind, at, personId, bodyText, ...hashes);
    tail = { sequence, hash, at };
    const plain: JsonObject = JSON.parse(bodyText);
    const stored = { sequence, stream, version, kind, at, personId, body: plain, previousHash, hash };
    for (const indexRow of rules.indexRows(stored, findOpenedJob(stream))) indexWriter.insert(indexRow);
    return stored;
  }

  return {
    begin,
    tail: () => tail,
    writeEvent,
    // The event makes it part of the chain, so that no document can be added, taken or renamed unseen.
    writeDocument({ kind, body }, by) {
      const text = canonicalJson(body);
      const hash = sha256(text);
      if (hasDocument.get(bytesOf(hash)) !== undefined) return undefined;
      insertDocument.run(bytesOf(hash), kind, text);
      const target = { ...by, stream: `document/${hash}`, version: 1 };
      return writeEvent(target, { kind: 'documentPut', body: { hash, documentKind: kind } });
    },
    // In a stream of its own, so that the job's events stay the job's.
    writeRecordAfter(event) {
      const job = findOpenedJob(event.stream);
      if (job === undefined) return;
      const { jobId, serial } = job;
      if (!rules.closesRecord(event, endBefore.get(jobId, event.sequence) !== undefined)) return;
      const body = canonicalJson(rules.buildRecord(reader.readStream(event.stream), reader.getDocument));
      const hash = sha256(body);
      const signature = key.sign(recordSignatureText(hash));
      const stream = `record/${jobId}`;
      const revision = reader.versionOf(stream) + 1;
      const proof = { hash, keyId: key.keyId, signature: toBase64(signature) };
      const { personId, at } = event;
      const { sequence } = writeEvent(
        { stream, version: revision, personId, at },
        { kind: 'recordSigned', body: { jobId, serial, revision, ...proof } },
      );
      insertRecord.run(sequence, jobId, revision, serial, body, bytesOf(hash), key.keyId, signature);
    },
    seal(stream) {
      const { sequence, hash } = tail;
      const link = lastLink.get();
      const previousSeal = link === undefined ? firstSealLink : hexOf(link);
      const { keyId } = key;
      const signature = key.sign(sealText({ sequence, hash, previousSeal }));
      const signed = { previousSeal, sequence, keyId, signature: toBase64(signature) };
      insertSeal.run(sequence, stream, keyId, signature, bytesOf(sealLink({ ...signed, stream }, sha256)));
      return { ...signed, hash };
    },
  };
}

function insertInto(database: Database, table: string, columns: string) {
  return database.prepare(`INSERT INTO ${table} (${columns}) VALUES (${columns.replaceAll(/\w+/g, '?')})`);
}
