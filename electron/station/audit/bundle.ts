import {
  closeSync,
  copyFileSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readdirSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { toBase64 } from '../../../shared/evidence/base64.ts';
import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import type { EvidenceReader, JobEntry } from '../store/evidence-reader.ts';
import type { JobFilter } from '../store/filters.ts';
import { type StationKey, stationKeysOf } from '../store/known-keys.ts';
import { readHeadFromSeals } from '../store/seal-row.ts';
import type { Database } from '../store/sqlite.ts';
import { withFaults } from '../store/store-fault.ts';

export interface BundleOptions {
  readonly reader: EvidenceReader;
  /** The same database, for what a reader does not read: seals and all documents. */
  readonly database: Database;
  /** A folder that does not exist yet or is empty. */
  readonly target: string;
  /** Now, ISO 8601 with offset. */
  readonly at: string;
  /** Which jobs; nothing: the whole chain of the station with its seals. */
  readonly filter: JobFilter | null;
  readonly documentsOf: (event: ReturnType<EvidenceReader['eventsSince']>[number]) => readonly string[];
}

export interface BundleProgress {
  readonly done: number;
  readonly total: number;
}

/** What went in. */
export interface BundleCounts {
  readonly events: number;
  readonly records: number;
  readonly documents: number;
}

const chunk = 200;

/**
 * Writes evidence into a folder that anyone can check with Node alone: records, events, documents, public keys,
 * the verifier and a note. A generator: whoever runs it may pause or stop.
 */
export function* writeBundle(options: BundleOptions): Generator<BundleProgress, Result<BundleCounts>> {
  const { target } = options;
  if (existsSync(target) && readdirSync(target).length > 0) {
    return refuse('not_empty', 'TARGET', 'is not empty; name a folder that does not exist yet');
  }
  withFaults(() => mkdirSync(target, { recursive: true }));
  const events = createLines(target, 'events.jsonl');
  const records = createLines(target, 'records.jsonl');
  const documents = createLines(target, 'documents.jsonl');
  let complete = false;
  try {
    const head = readHeadFromSeals(options.database) ?? null;
    const upper = head?.sequence ?? 0;
    const wanted = new Set<string>();
    const parts = { events, records, wanted, upper };
    if (options.filter === null) yield* writeChain(options, parts);
    else yield* writeJobs(options, options.filter, parts);
    for (const hash of wanted) {
      const document = options.reader.getDocument(hash);
      if (document !== undefined) documents.write({ ...document });
    }
    const counts = { events: events.count(), records: records.count(), documents: documents.count() };
    const introductions = options.reader.readStream('station').filter(({ sequence }) => sequence <= upper);
    const keys = stationKeysOf(introductions).map(keyOfManifest);
    const manifest = {
      format: 'bandwright-bundle-1',
      at: options.at,
      scope: options.filter === null ? 'station' : 'jobs',
      filter: options.filter,
      counts,
      keys,
      head,
    };
    writeFile(target, 'bundle.json', `${canonicalJson(manifest)}\n`);
    writeFile(target, 'README.txt', note);
    withFaults(() =>
      copyFileSync(
        fileURLToPath(new URL('./bundle-verifier.mjs', import.meta.url)),
        join(target, 'verify.mjs'),
      ),
    );
    for (const lines of [events, records, documents]) lines.close();
    complete = true;
    return ok(counts);
  } finally {
    // Half a bundle would look like one from which something was taken. The folder was empty before.
    if (!complete) {
      for (const lines of [events, records, documents]) lines.abandon();
      rmSync(target, { recursive: true, force: true });
    }
  }
}

/** A public key, and what vouches for it. */
function keyOfManifest({ algorithm, keyId, publicKey, replaces, voucher }: StationKey) {
  return {
    ...{ algorithm, keyId, publicKey },
    ...(replaces === undefined ? {} : { replaces }),
    ...(voucher === undefined ? {} : { voucher }),
  };
}

interface Parts {
  readonly events: Lines;
  readonly records: Lines;
  readonly wanted: Set<string>;
  readonly upper: number;
}

function* writeChain(
  { reader, database, target, documentsOf }: BundleOptions,
  parts: Parts,
): Generator<BundleProgress> {
  const { events, records, wanted, upper } = parts;
  for (let after = 0; after < upper; ) {
    const some = reader.eventsSince(after, chunk).filter(({ sequence }) => sequence <= upper);
    const last = some.at(-1);
    if (last === undefined) break;
    after = last.sequence;
    for (const event of some) {
      events.write({ ...event });
      for (const hash of documentsOf(event)) wanted.add(hash);
      if (event.kind === 'documentPut') wanted.add(String(event.body.hash));
      if (event.kind !== 'recordSigned') continue;
      const record = reader
        .recordsOf(String(event.body.jobId))
        .find(({ sequence }) => sequence === event.sequence);
      if (record !== undefined) records.write(record.record);
    }
    yield { done: after, total: upper };
  }
  const seals = createLines(target, 'seals.jsonl');
  const some = database.prepare<[number, number, number], SealRow>(
    'SELECT sequence, stream, key_id, signature FROM seal WHERE sequence > ? AND sequence <= ? ORDER BY sequence LIMIT ?',
  );
  for (let after = 0; ; ) {
    const rows = some.all(after, upper, 1000);
    const last = rows.at(-1);
    if (last === undefined) break;
    after = last.sequence;
    for (const { sequence, stream, key_id, signature } of rows) {
      seals.write({ sequence, stream, keyId: key_id, signature: toBase64(signature) });
    }
  }
  seals.close();
}

interface SealRow {
  readonly sequence: number;
  readonly stream: string;
  readonly key_id: string;
  readonly signature: Uint8Array;
}

function* writeJobs(
  { reader, documentsOf }: BundleOptions,
  filter: JobFilter,
  parts: Parts,
): Generator<BundleProgress> {
  const { events, records, wanted, upper } = parts;
  const total = reader.countJobs(filter);
  let done = 0;
  let jobs: readonly JobEntry[] = [];
  for (let after = 0; ; after = jobs.at(-1)?.sequence ?? upper) {
    jobs = reader.findJobs(filter, after, 20);
    if (jobs.length === 0) return;
    for (const { jobId } of jobs) {
      for (const event of reader.readStream(`job/${jobId}`)) {
        if (event.sequence > upper) continue;
        events.write({ ...event });
        for (const hash of documentsOf(event)) wanted.add(hash);
      }
      for (const { record, sequence } of reader.recordsOf(jobId))
        if (sequence <= upper) records.write(record);
    }
    done += jobs.length;
    yield { done, total };
  }
}

/** A file of JSON lines that is written in blocks. */
interface Lines {
  write(value: object): void;
  count(): number;
  /** Everything is on the disk. */
  close(): void;
  /** Closes without writing what is left. */
  abandon(): void;
}

const blockCharacters = 256 * 1024;

function createLines(target: string, name: string): Lines {
  const descriptor = withFaults(() => openSync(join(target, name), 'wx'));
  let block = '';
  let count = 0;
  let closed = false;
  const flush = () => {
    withFaults(() => writeFileSync(descriptor, block));
    block = '';
  };
  return {
    write(value) {
      block += `${canonicalJson(value)}\n`;
      count++;
      if (block.length >= blockCharacters) flush();
    },
    count: () => count,
    close() {
      flush();
      withFaults(() => fsyncSync(descriptor));
      closeSync(descriptor);
      closed = true;
    },
    abandon() {
      if (!closed) closeSync(descriptor);
      closed = true;
    },
  };
}

function writeFile(target: string, name: string, text: string): void {
  withFaults(() => {
    const descriptor = openSync(join(target, name), 'wx');
    writeFileSync(descriptor, text);
    fsyncSync(descriptor);
    closeSync(descriptor);
  });
}

const note = `Evidence of a Bandwright station.

  records.jsonl    one signed record per line: what was measured, with raw bytes, what was decided, by whom
  events.jsonl     the events behind the records, each with its hash and the hash before it
  documents.jsonl  service sheets, instrument profiles and calibration certificates, by their hash
  seals.jsonl      in a bundle of a whole station: the station's signature after each append
  bundle.json      what was put in, and the public keys
  verify.mjs       checks all of it; needs only Node:  node verify.mjs

The signatures show that whoever holds the private half of a key in bundle.json made these records and that nothing
was changed since. Whether that key is the workshop's you must learn from the workshop: compare the key id that
verify.mjs prints, or name it with --key. A key that took over later is vouched for by the one before it; one that
is not (the key before it was lost) is named, and the workshop must confirm it.
`;
