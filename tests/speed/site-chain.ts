import { generateKeyPairSync } from 'node:crypto';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { type InventedReferences, inventedJob } from '../../electron/station/audit/invented-job.ts';
import { signingKeyOf } from '../../electron/station/signing-key.ts';
import type { ChainPiece, LocalEvent, LocalSeal } from '../../electron/station/site/local-chain.ts';
import { sha256 } from '../../electron/station/store/sha256.ts';
import { keyIntroduction } from '../../electron/station/store/station-key.ts';
import { toBase64 } from '../../shared/evidence/base64.ts';
import { canonicalJson, type JsonObject } from '../../shared/evidence/canonical-json.ts';
import { eventHash, genesisHash } from '../../shared/evidence/chain.ts';
import { buildJobRecord } from '../../shared/evidence/job-record.ts';
import { firstSealLink, sealLink, sealText } from '../../shared/evidence/seal.ts';
import { recordSignatureText } from '../../shared/evidence/signed-record.ts';
import type { StoredEvent } from '../../shared/evidence/stored-event.ts';

/** A text with slots, so that a million jobs need not be built one by one: theirs differ from a model's in these alone. */
type Model = readonly (string | { readonly slot: string })[];

interface JobModel {
  readonly events: readonly {
    readonly kind: string;
    readonly personId: string;
    readonly seconds: number;
    readonly body: Model;
  }[];
  readonly record: Model;
}

const modelJob = 'model-job-id';
const modelSerial = 'MODEL-SERIAL';
const modelSequence = 7_000_000_000;
const modelStart = Date.UTC(1971, 0, 1);

/** Splits a text at what differs from job to job. */
function modelOf(text: string, hashes: readonly string[]): Model {
  const marks = [
    modelJob,
    modelSerial,
    '7000000\\d{3}',
    '1971-01-01T\\d\\d:\\d\\d:\\d\\d\\.\\d{3}Z',
    ...hashes,
  ];
  return text
    .split(new RegExp(`(${marks.join('|')})`))
    .map((piece, index) => (index % 2 === 0 ? piece : { slot: piece }));
}

function filled(model: Model, value: (slot: string) => string): string {
  let text = '';
  for (const piece of model) text += typeof piece === 'string' ? piece : value(piece.slot);
  return text;
}

function modelOfJob(number: number, references: InventedReferences): JobModel {
  const events = inventedJob(number, modelStart, references);
  const { jobId } = events[0] ?? { jobId: '' };
  const serial = events[0]?.kind === 'jobOpened' ? events[0].serial : '';
  const renamed = (text: string) => text.replaceAll(jobId, modelJob).replaceAll(serial, modelSerial);
  const hashes = events.map((_, index) => sha256(`model ${number} ${index}`));
  const stored = events.map((event, index): StoredEvent => {
    const body: JsonObject = JSON.parse(renamed(canonicalJson(event)));
    const { kind, at, personId } = event;
    return {
      ...{
        sequence: modelSequence + index,
        stream: `job/${modelJob}`,
        version: index + 1,
        kind,
        at,
        personId,
        body,
      },
      ...{ previousHash: genesisHash, hash: hashes[index] ?? '' },
    };
  });
  return {
    events: events.map((event, index) => ({
      kind: event.kind,
      personId: event.personId,
      seconds: (Date.parse(event.at) - modelStart) / 1000,
      body: modelOf(canonicalJson(stored[index]?.body), []),
    })),
    record: modelOf(canonicalJson(buildJobRecord(stored)), hashes),
  };
}

/** A chain that grows job by job, with hashes, seals and records as a station writes them; one seal for each job. */
export interface GrowingChain {
  readonly stationId: string;
  /** The next jobs as a piece that can be pushed. */
  piece(jobs: number): ChainPiece;
}

const models: JobModel[] = [];

/**
 * @param serialOf serial of the n-th job of this chain
 * @param startOf when it was opened, milliseconds since 1970
 */
export function growChain(
  stationId: string,
  serialOf: (job: number) => string,
  startOf: (job: number) => number,
): GrowingChain {
  const key = signingKeyOf(generateKeyPairSync('ed25519').privateKey);
  const documents = new Map<string, string>();
  const kinds = new Map<string, string>();
  const references = putInventedDocuments({
    putDocument(kind, body) {
      const text = canonicalJson(body);
      documents.set(sha256(text), text);
      kinds.set(sha256(text), kind);
      return sha256(text);
    },
  });
  if (models.length === 0)
    for (let number = 1; number <= 200; number++) models.push(modelOfJob(number, references));
  let sequence = 0;
  let previousHash = genesisHash;
  let previousSeal = firstSealLink;
  let job = 0;
  let events: LocalEvent[] = [];
  let seals: LocalSeal[] = [];
  let records: string[] = [];

  function append(
    stream: string,
    version: number,
    kind: string,
    at: string,
    personId: string | null,
    body: string,
  ): string {
    sequence += 1;
    const hash = eventHash(
      { sequence, stream, version, kind, at, personId, bodyText: body, previousHash },
      sha256,
    );
    const bytes = (hex: string) => Buffer.from(hex, 'hex');
    events.push({
      ...{ sequence, stream, version, kind, at, person_id: personId, body },
      ...{ previous_hash: bytes(previousHash), hash: bytes(hash) },
    });
    previousHash = hash;
    return hash;
  }

  function seal(stream: string): void {
    const signature = key.sign(sealText({ sequence, hash: previousHash, previousSeal }));
    const link = sealLink(
      { previousSeal, sequence, stream, keyId: key.keyId, signature: toBase64(signature) },
      sha256,
    );
    seals.push({
      sequence,
      stream,
      key_id: key.keyId,
      signature: Buffer.from(signature),
      link: Buffer.from(link, 'hex'),
    });
    previousSeal = link;
  }

  function begin(): void {
    const at = new Date(startOf(0)).toISOString();
    append('station', 1, 'keyIntroduced', at, null, canonicalJson(keyIntroduction(key, { stationId }).body));
    for (const [hash, documentKind] of kinds)
      append(`document/${hash}`, 1, 'documentPut', at, null, canonicalJson({ hash, documentKind }));
    seal('station');
  }

  function appendJob(): void {
    const model = models[job % models.length];
    if (model === undefined) throw new Error('no models');
    const jobId = `${stationId}-${job}`;
    const serial = serialOf(job);
    const start = startOf(job);
    const first = sequence + 1;
    const hashes = new Map<string, string>();
    const number = job % models.length;
    const value = (slot: string): string => {
      if (slot === modelJob) return jobId;
      if (slot === modelSerial) return serial;
      if (slot.startsWith('1971')) return new Date(start + Date.parse(slot) - modelStart).toISOString();
      if (slot.startsWith('7000000')) return String(first + Number(slot) - modelSequence);
      return hashes.get(slot) ?? '';
    };
    let at = '';
    for (const [index, event] of model.events.entries()) {
      at = new Date(start + event.seconds * 1000).toISOString();
      const hash = append(
        `job/${jobId}`,
        index + 1,
        event.kind,
        at,
        event.personId,
        filled(event.body, value),
      );
      hashes.set(sha256(`model ${number + 1} ${index}`), hash);
    }
    const record = filled(model.record, value);
    const hash = sha256(record);
    const proof = { hash, keyId: key.keyId, signature: toBase64(key.sign(recordSignatureText(hash))) };
    append(
      `record/${jobId}`,
      1,
      'recordSigned',
      at,
      'person-1',
      canonicalJson({ jobId, serial, revision: 1, ...proof }),
    );
    records.push(record);
    seal(`job/${jobId}`);
    job += 1;
  }

  return {
    stationId,
    piece(jobs) {
      events = [];
      seals = [];
      records = [];
      const isFirst = sequence === 0;
      if (isFirst) begin();
      for (let index = 0; index < jobs; index++) appendJob();
      return { events, seals, documents: isFirst ? [...documents.values()] : [], records };
    },
  };
}
