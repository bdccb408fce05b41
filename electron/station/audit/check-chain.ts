import { finding } from '../../../shared/audit/finding.ts';
import { genesisHash } from '../../../shared/evidence/chain.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { bytesOf } from '../store/event-row.ts';
import { withKeyOf } from '../store/known-keys.ts';
import { walkEvents } from './event-walk.ts';
import { createMissingRun } from './missing-run.ts';
import { attempt, nobody, type Owner } from './naming.ts';
import { storedEventOf, type UnreadEvent } from './raw-event.ts';
import { createReordering } from './reordering.ts';
import type { Verification } from './verification.ts';

/** What the chain says that there is. */
export interface ChainCounts {
  /** Documents that were put. */
  readonly documents: number;
  readonly recordsSigned: number;
}

/** Places between two steps: each costs something. */
export const placesPerStep = 50;

/**
 * Walks the chain from its first event: every place filled, every hash that of its columns, every event the one
 * that the next one names; the keys that it brings, and that the documents that it names are there. Yields the place
 * it is at.
 */
export function* checkChain(verification: Verification): Generator<number, ChainCounts> {
  const { database, naming, suspect, report, upper } = verification;
  const missing = createMissingRun(verification);
  const reordering = createReordering(verification);
  const named = createNamedThings(verification);
  let before: UnreadEvent | undefined;
  for (const place of walkEvents(database, upper)) {
    const sequence = 'event' in place ? place.event.sequence : place.sequence;
    if (place.found === 'nothing') {
      missing.add(sequence);
      reordering.empty(sequence);
    } else missing.flush();
    if (place.found === 'unreadable' || place.found === 'nonsense') {
      suspect.add(sequence);
      const [kind, what] =
        place.found === 'unreadable'
          ? (['unreadable', 'eventUnreadable'] as const)
          : (['altered', 'eventColumnsAltered'] as const);
      report(kind, naming.ofSequence(sequence), sequence, finding(what, { event: sequence }));
    }
    if (place.found === 'altered') {
      suspect.add(sequence);
      reordering.altered(place.event);
    }
    if (place.found === 'intact') {
      checkJoint(verification, before, place.event);
      named.check(place.event);
    }
    before = place.found === 'intact' ? place.event : undefined;
    if (sequence % placesPerStep === 0) yield sequence;
  }
  missing.flush();
  reordering.finish();
  return { documents: named.documents, recordsSigned: named.recordsSigned };
}

/** An intact event names another one before it than stands there: the one before was written anew. */
function checkJoint(
  { report, naming, suspect }: Verification,
  before: UnreadEvent | undefined,
  { sequence, previousHash }: UnreadEvent,
): void {
  if (sequence === 1 && previousHash !== genesisHash) {
    report('removed', nobody, 1, finding('beginningRemoved', {}));
    return;
  }
  if (before === undefined || previousHash === before.hash) return;
  suspect.add(before.sequence);
  const owner: Owner = naming.ofStream(before.stream);
  const what = finding('eventHashedAnew', { event: before.sequence, next: sequence });
  report('altered', owner, before.sequence, what);
}

/** Keys, documents and records that events bring. */
function createNamedThings(verification: Verification) {
  let documents = 0;
  let recordsSigned = 0;
  return {
    check(unread: UnreadEvent): void {
      const { stream, kind } = unread;
      if (stream === 'station' && kind === 'keyIntroduced') {
        const event = storedEventOf(unread);
        if (event !== undefined) learnKey(verification, event);
      } else if (kind === 'documentPut' && stream.startsWith('document/')) {
        const event = storedEventOf(unread);
        if (event === undefined) return;
        documents++;
        checkPut(verification, event);
      } else if (kind === 'recordSigned' && stream.startsWith('record/')) {
        recordsSigned++;
      }
    },
    get documents() {
      return documents;
    },
    get recordsSigned() {
      return recordsSigned;
    },
  };
}

/** The document of a documentPut event stands there under this kind. */
function checkPut({ database, report }: Verification, event: StoredEvent): void {
  const hash = event.stream.slice('document/'.length);
  const kind = attempt(() =>
    database
      .prepare<[Uint8Array], string>('SELECT kind FROM document WHERE hash = ?')
      .pluck()
      .get(bytesOf(hash)),
  );
  if (kind === event.body.documentKind) return;
  const owner = { stream: event.stream, jobId: null, serial: null };
  const document = `${String(event.body.documentKind)} ${hash.slice(0, 16)}…`;
  const what = kind === undefined ? 'documentRemoved' : 'documentOfOtherKind';
  report('document', owner, event.sequence, finding(what, { document }));
}

/**
 * A key is believed when the auditor knows it, or when a key that is believed vouches for it. One that came without
 * a voucher is named; that alone is no forgery: the key before may have been lost.
 */
function learnKey(verification: Verification, event: StoredEvent): void {
  const { keys, trustedKeys, report } = verification;
  const owner = { ...nobody, stream: event.stream };
  const now = withKeyOf(keys, event);
  const key = now?.at(-1);
  if (now === undefined || key === undefined) {
    report('key', owner, event.sequence, finding('keyUnusable', { event: event.sequence }));
    return;
  }
  verification.keys = now;
  if (trustedKeys.includes(key.keyId)) return;
  const before = keys.at(-1);
  if (before !== undefined && !key.isVouched) {
    const what = finding('keyWithoutVoucher', { event: key.from, before: before.keyId, key: key.keyId });
    report('key', owner, event.sequence, what);
  } else if (before === undefined && trustedKeys.length > 0) {
    report('key', owner, event.sequence, finding('keyNotTrusted', { key: key.keyId }));
  }
}
