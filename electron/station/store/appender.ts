import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import { type Envelope, eventHash, genesisHash, sealText } from '../../../shared/evidence/chain.ts';
import type { EvidenceRules } from '../../../shared/evidence/evidence-rules.ts';
import { recordSignatureText } from '../../../shared/evidence/signed-record.ts';
import { type StoredEvent, streamSchema } from '../../../shared/evidence/stored-event.ts';
import { ok, type Refusal, type Result, refuse } from '../../../shared/result.ts';
import type { SigningKey } from '../signing-key.ts';
import type { ClockWatch } from './clock-watch.ts';
import { bytesOf, eventColumns, eventOfRow, hexOf } from './event-row.ts';
import type { EvidenceReader } from './evidence-reader.ts';
import type { Head } from './head-file.ts';
import { createFindOpenedJob, createIndexWriter } from './index-tables.ts';
import { sha256 } from './sha256.ts';
import type { Database } from './sqlite.ts';
import type { AppendRequest, NewEvent, StreamAppend } from './store.ts';

export interface Appender {
  /** One transaction; the head is what the chain ends with now. Runs inside the caller's fault handling. */
  append(request: AppendRequest): Result<{ events: readonly StoredEvent[]; head: Head }>;
  putDocument(kind: string, body: object): string;
}

interface Tail {
  readonly sequence: number;
  readonly hash: string;
  readonly at: string | null;
}

interface Parts {
  readonly database: Database;
  readonly reader: EvidenceReader;
  readonly rules: EvidenceRules;
  readonly key: SigningKey;
  readonly clockWatch: ClockWatch;
}

/** Leaves the transaction and takes everything back. */
class Conflict extends Error {
  readonly refusal: Refusal;
  constructor(refusal: Refusal) {
    super(refusal.message);
    this.refusal = refusal;
  }
}

/** The one writer of the evidence tables. */
export function createAppender({ database, reader, rules, key, clockWatch }: Parts): Appender {
  const indexWriter = createIndexWriter(database);
  const findOpenedJob = createFindOpenedJob(database);
  const tailRow = database.prepare<[], { sequence: number; hash: Uint8Array; at: string }>(
    'SELECT sequence, hash, at FROM event ORDER BY sequence DESC LIMIT 1',
  );
  const insertEvent = database.prepare(
    `INSERT INTO event (${eventColumns}) VALUES (${eventColumns.replaceAll(/\w+/g, '?')})`,
  );
  const insertSeal = database.prepare('INSERT INTO seal (sequence, key_id, signature) VALUES (?, ?, ?)');
  const endBefore = database
    .prepare<[string, number], 1>('SELECT 1 FROM job_end WHERE job_id = ? AND sequence < ?')
    .pluck();
  const hasDocument = database.prepare<[Uint8Array], 1>('SELECT 1 FROM document WHERE hash = ?').pluck();
  const insertDocument = database.prepare('INSERT INTO document (hash, kind, body) VALUES (?, ?, ?)');
  const insertRecord = database.prepare(
    `INSERT INTO record (sequence, job_id, revision, serial, body, hash, key_id, signature)
     VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
  );

  function hasEndBefore({ stream, sequence }: StoredEvent): boolean {
    return stream.startsWith('job/') && endBefore.get(stream.slice('job/'.length), sequence) !== undefined;
  }

  function readTail(): Tail {
    const row = tailRow.get();
    return row === undefined
      ? { sequence: 0, hash: genesisHash, at: null }
      : { sequence: row.sequence, hash: hexOf(row.hash), at: row.at };
  }

  function putDocument(kind: string, body: object): string {
    const text = canonicalJson(body);
    const hash = sha256(text);
    const bytes = bytesOf(hash);
    if (hasDocument.get(bytes) === undefined) insertDocument.run(bytes, kind, text);
    return hash;
  }

  function writeEvent(
    tail: Tail,
    at: string,
    envelope: Pick<Envelope, 'stream' | 'version' | 'personId'>,
    event: NewEvent,
  ) {
    const bodyText = canonicalJson(event.body);
    const { stream, version, personId } = envelope;
    const sequence = tail.sequence + 1;
    const previousHash = tail.hash;
    const hash = eventHash(
      { sequence, stream, version, kind: event.kind, at, personId, bodyText, previousHash },
      sha256,
    );
    const row = {
      sequence,
      stream,
      version,
      kind: event.kind,
      at,
      person_id: personId,
      body: bodyText,
      previous_hash: bytesOf(previousHash),
      hash: bytesOf(hash),
    };
    insertEvent.run(Object.values(row));
    const stored = eventOfRow(row);
    for (const indexRow of rules.indexRows(stored, findOpenedJob(stream))) indexWriter.insert(indexRow);
    return stored;
  }

  function appendStream(request: StreamAppend, personId: string | null, at: string): readonly StoredEvent[] {
    const stream = streamSchema.parse(request.stream);
    const version = reader.versionOf(stream);
    if (version !== request.expectedVersion) {
      throw new Conflict({
        code: 'version_conflict',
        field: 'expectedVersion',
        message: `${stream} has ${version} events, not ${request.expectedVersion}; read it again and decide anew`,
      });
    }
    return request.events.map((event, index) =>
      writeEvent(readTail(), at, { stream, version: version + index + 1, personId }, event),
    );
  }

  /** The record goes into a stream of its own, so that the job's events stay the job's. */
  function signRecord(closing: StoredEvent, at: string): void {
    const content = rules.buildRecord(reader.readStream(closing.stream), reader.getDocument);
    const job = findOpenedJob(closing.stream);
    if (job === undefined) throw new TypeError(`${closing.stream} is closed before it is opened`);
    const body = canonicalJson(content);
    const hash = sha256(body);
    const signature = key.sign(recordSignatureText(hash));
    const stream = `record/${job.jobId}`;
    const revision = reader.versionOf(stream) + 1;
    const proof = { hash, keyId: key.keyId, signature: Buffer.from(signature).toString('base64') };
    const event = {
      kind: 'recordSigned',
      body: { jobId: job.jobId, serial: job.serial, revision, ...proof },
    };
    const { sequence } = writeEvent(
      readTail(),
      at,
      { stream, version: revision, personId: closing.personId },
      event,
    );
    insertRecord.run(sequence, job.jobId, revision, job.serial, body, bytesOf(hash), key.keyId, signature);
  }

  function seal(): Head {
    const { sequence, hash } = readTail();
    const signature = key.sign(sealText({ sequence, hash }));
    insertSeal.run(sequence, key.keyId, signature);
    return { sequence, hash, keyId: key.keyId, signature: Buffer.from(signature).toString('base64') };
  }

  const appendAll = database.transaction((request: AppendRequest) => {
    const at = clockWatch.now();
    const jump = clockWatch.jumpSince(readTail().at, at);
    if (jump !== null) {
      const own = { stream: 'station', expectedVersion: reader.versionOf('station'), events: [jump] };
      appendStream(own, null, at);
    }
    for (const document of request.documents ?? []) putDocument(document.kind, document.body);
    const events = [request, ...(request.also ?? [])].flatMap((part) =>
      appendStream(part, request.personId, at),
    );
    for (const event of events) if (rules.closesRecord(event, hasEndBefore(event))) signRecord(event, at);
    return { events, head: seal() };
  });

  return {
    append(request) {
      if (request.events.length === 0) throw new TypeError('append: no events');
      try {
        return ok(appendAll.immediate(request));
      } catch (error) {
        if (error instanceof Conflict) {
          return refuse(error.refusal.code, error.refusal.field, error.refusal.message);
        }
        throw error;
      }
    },
    putDocument: (kind, body) => database.transaction(putDocument).immediate(kind, body),
  };
}
