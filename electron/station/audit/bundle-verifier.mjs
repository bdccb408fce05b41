// Checks a bundle of evidence that a Bandwright station exported. Needs only Node 20 or newer, nothing else:
//   node verify.mjs [FOLDER] [--key ID]…
// Prints one line per finding, exit 0 intact, 1 not intact, 2 no bundle.
// --key: the id of a key that you got from the workshop by another way. Without it the bundle's first key is
// believed, and all that is shown is that whoever holds that key made this bundle. A later key is believed when the
// one before it vouches for it.
import { createHash, createPublicKey, verify } from 'node:crypto';
import { createReadStream, existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const words = process.argv.slice(2);
const trusted = [];
let folder = dirname(fileURLToPath(import.meta.url));
while (words.length > 0) {
  const word = words.shift();
  if (word === '--key') trusted.push(words.shift());
  else folder = word;
}

let findings = 0;
let keyFindings = 0;
const counts = { events: 0, records: 0, documents: 0, seals: 0 };

function found(kind, sentence) {
  findings += 1;
  if (kind === 'key') keyFindings += 1;
  console.log(`${kind}: ${sentence}`);
}

const sha256 = (data) => createHash('sha256').update(data).digest('hex');

/** RFC 8785: names sorted by UTF-16 code units, numbers and strings as ECMAScript writes them. */
function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  if (value === null || typeof value !== 'object') return JSON.stringify(Object.is(value, -0) ? 0 : value);
  const names = Object.keys(value).sort();
  return `{${names.map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`).join(',')}}`;
}

async function* lines(name) {
  const file = join(folder, name);
  if (!existsSync(file)) return found('removed', `${name} is missing`);
  let number = 0;
  for await (const text of createInterface({
    input: createReadStream(file),
    crlfDelay: Number.POSITIVE_INFINITY,
  })) {
    number += 1;
    if (text === '') continue;
    try {
      yield JSON.parse(text);
    } catch {
      found('altered', `${name}, line ${number}: is no JSON`);
    }
  }
}

const keys = new Map();
function signedBy(keyId, text, signature) {
  const key = keys.get(keyId);
  if (key === undefined) return false;
  try {
    return verify(null, Buffer.from(text), key, Buffer.from(String(signature), 'base64'));
  } catch {
    return false;
  }
}

/** Hashes of events by their place in the chain, 4096 to a page. */
const pages = new Map();
function setHash(sequence, hash) {
  const page = Math.floor(sequence / 4096);
  if (!pages.has(page)) pages.set(page, Buffer.alloc(4096 * 32));
  Buffer.from(hash, 'hex').copy(pages.get(page), (sequence % 4096) * 32);
}
function hashAt(sequence) {
  const start = (sequence % 4096) * 32;
  const hash = pages
    .get(Math.floor(sequence / 4096))
    ?.subarray(start, start + 32)
    .toString('hex');
  return hash === undefined || /^0+$/.test(hash) ? undefined : hash;
}

const nameOf = ({ serial, jobId }) => `serial ${serial}, job ${jobId}`;

function voucherText({ keyId, replaces }) {
  return canonical({ format: 'bandwright key voucher 1', keyId, replaces });
}

/** From which event on which key seals, as the chain says. */
const reigns = [];

function checkKeys(manifest) {
  let before;
  for (const key of manifest.keys) {
    const { keyId, publicKey } = key;
    const der = Buffer.from(publicKey, 'base64');
    if (sha256(der) !== keyId) {
      found('altered', `key ${keyId} is not what its id says`);
      continue;
    }
    keys.set(keyId, createPublicKey({ key: der, format: 'der', type: 'spki' }));
    if (!trusted.includes(keyId)) {
      if (before !== undefined && !isVouched(key, before))
        found(
          'key',
          `key changed without voucher: nothing shows that the holder of key ${before} made key ${keyId}. That is no forgery by itself: ask the workshop; if it lost the key, name both with --key`,
        );
      else if (before === undefined && trusted.length > 0)
        found('key', `${keyId} is none of those that you trust`);
    }
    before = keyId;
  }
}

function isVouched(key, before) {
  return key.replaces === before && signedBy(before, voucherText(key), key.voucher);
}

/** The chain must bring the keys that bundle.json names, in the same order. */
function learnReign(event, manifest) {
  const key = manifest.keys[reigns.length];
  const { stationId, ...introduced } = event.body;
  if (key === undefined || canonical(introduced) !== canonical(key))
    found('altered', `event ${event.sequence} brings another key than bundle.json names`);
  const before = reigns.at(-1)?.keyId;
  const from = isVouched(introduced, before) ? event.sequence + 1 : event.sequence;
  reigns.push({ from, keyId: introduced.keyId });
}

/** Raw lines of captures by place, to compare with what the record says. */
const rawBytes = new Map();

async function checkEvents(manifest) {
  const whole = manifest.scope === 'station';
  let before = { sequence: 0, hash: '0'.repeat(64) };
  const lastVersion = new Map();
  for await (const event of lines('events.jsonl')) {
    counts.events += 1;
    const { hash, ...envelope } = event;
    const name = `event ${event.sequence} (${event.stream}, ${event.kind})`;
    if (sha256(canonical(envelope)) !== hash) {
      found('altered', `${name} was altered: its hash does not fit`);
      before = { sequence: event.sequence, hash };
      continue;
    }
    setHash(event.sequence, hash);
    if (whole && event.stream === 'station' && event.kind === 'keyIntroduced') learnReign(event, manifest);
    if (whole) {
      if (event.sequence !== before.sequence + 1)
        found(
          'removed',
          `something between event ${before.sequence} and ${event.sequence} was removed or moved`,
        );
      else if (event.previousHash !== before.hash)
        found('altered', `event ${before.sequence} is not the one that event ${event.sequence} names`);
    } else {
      const version = (lastVersion.get(event.stream) ?? 0) + 1;
      if (event.version !== version)
        found('removed', `${event.stream}: its event number ${version} was removed or moved`);
      lastVersion.set(event.stream, event.version);
    }
    if (event.kind === 'measurementCaptured') {
      const bytes = Buffer.concat(
        event.body.capture.evidence.lines.map(({ base64 }) => Buffer.from(base64, 'base64')),
      );
      if (rawBytes.size < 100_000) rawBytes.set(event.sequence, bytes.toString('base64'));
    }
    before = { sequence: event.sequence, hash };
  }
  return before;
}

async function checkSeals(manifest, last) {
  if (manifest.scope !== 'station') return;
  let previousSeal = '0'.repeat(64);
  let signed = false;
  let sealedUpTo = 0;
  for await (const seal of lines('seals.jsonl')) {
    counts.seals += 1;
    if (signed && sealedUpTo === last.sequence)
      return found('altered', 'there are seals beyond the last event');
    const { sequence, stream, keyId, signature } = seal;
    const text = canonical({
      format: 'bandwright chain seal 1',
      hash: hashAt(sequence) ?? '',
      previousSeal,
      sequence,
    });
    const reign = reigns.findLast(({ from }) => from <= sequence);
    signed = reign?.keyId === keyId && signedBy(keyId, text, signature);
    sealedUpTo = sequence;
    if (!signed)
      found(
        'signature',
        `the seal of event ${sequence} does not fit: an event up to there, or a seal, was altered or removed`,
      );
    previousSeal = sha256(canonical({ keyId, previousSeal, sequence, signature, stream }));
    // One finding tells the place; every seal behind it fails as well.
    if (!signed) return;
  }
  if (!signed || sealedUpTo !== last.sequence) found('signature', 'the last event is not sealed');
  const { head } = manifest;
  const headText = canonical({
    format: 'bandwright chain seal 1',
    hash: head.hash,
    previousSeal: head.previousSeal,
    sequence: head.sequence,
  });
  if (!signedBy(head.keyId, headText, head.signature))
    found('signature', 'the head does not bear a signature of the station');
  if (head.sequence !== last.sequence)
    found('truncated', `the chain should end at event ${head.sequence}, but ends at ${last.sequence}`);
}

async function checkRecords(manifest) {
  for await (const record of lines('records.jsonl')) {
    counts.records += 1;
    const { hash, keyId, signature, ...content } = record;
    const name = nameOf(record);
    if (sha256(canonical(content)) !== hash)
      found('altered', `${name}: the record was altered: its hash does not fit`);
    const text = canonical({ format: 'bandwright record signature 1', hash });
    if (!signedBy(keyId, text, signature))
      found('signature', `${name}: the record does not bear a signature of the station`);
    const named = [
      ...record.captures.map(({ sequence, eventHash }) => [sequence, eventHash]),
      ...record.history.map(({ sequence, eventHash }) => [sequence, eventHash]),
      [record.firstEvent.sequence, record.firstEvent.hash],
      [record.lastEvent.sequence, record.lastEvent.hash],
    ];
    for (const [sequence, eventHash] of named) {
      if (hashAt(sequence) !== eventHash)
        found('removed', `${name}: event ${sequence} is not in the bundle as the record names it`);
    }
    for (const { sequence, rawBytes: bytes } of record.captures) {
      if (rawBytes.has(sequence) && rawBytes.get(sequence) !== bytes)
        found('altered', `${name}: the raw bytes of event ${sequence} are not those of the record`);
    }
  }
  if (counts.records !== manifest.counts.records)
    found('removed', `${manifest.counts.records} records were put in, ${counts.records} are there`);
}

async function checkDocuments(manifest) {
  const there = new Set();
  for await (const { hash, body } of lines('documents.jsonl')) {
    counts.documents += 1;
    if (sha256(canonical(body)) !== hash)
      found('altered', `document ${hash} was altered: its hash does not fit`);
    there.add(hash);
  }
  for await (const event of lines('events.jsonl')) {
    const { capture, sheetHash } = event.body;
    const wanted = [
      sheetHash,
      capture?.instrument.profileHash,
      capture?.instrument.certificateHash,
      capture?.evidence.profileHash,
    ];
    for (const hash of wanted) {
      if (typeof hash === 'string' && !there.has(hash))
        found('removed', `document ${hash}, which event ${event.sequence} names, is missing`);
    }
  }
  if (counts.documents !== manifest.counts.documents)
    found('removed', `${manifest.counts.documents} documents were put in, ${counts.documents} are there`);
}

let manifest;
try {
  manifest = JSON.parse(readFileSync(join(folder, 'bundle.json'), 'utf8'));
  if (manifest.format !== 'bandwright-bundle-1') throw new Error('another format');
} catch {
  console.error(`${folder}: holds no bundle.json of a bundle; name the folder of the bundle`);
  process.exit(2);
}
try {
  checkKeys(manifest);
  const last = await checkEvents(manifest);
  if (counts.events !== manifest.counts.events)
    found('removed', `${manifest.counts.events} events were put in, ${counts.events} are there`);
  if (manifest.scope === 'station' && reigns.length !== manifest.keys.length)
    found('altered', 'bundle.json names other keys than the chain');
  await checkSeals(manifest, last);
  await checkRecords(manifest);
  await checkDocuments(manifest);
} catch (error) {
  found('altered', `the bundle is not what a station writes (${error.message})`);
}
const summary = `${counts.records} records, ${counts.events} events, ${counts.documents} documents`;
if (findings === 0) console.log(`intact: ${summary}`);
else if (findings === keyFindings)
  console.log(`KEY NOT VOUCHED FOR, everything else intact: ${findings} findings in ${summary}`);
else console.log(`NOT INTACT: ${findings} findings in ${summary}`);
for (const keyId of keys.keys()) console.log(`key ${keyId}`);
process.exitCode = findings === 0 ? 0 : 1;
