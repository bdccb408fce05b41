import { genesisHash } from '../../../shared/evidence/chain.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { withKeyOf } from '../store/known-keys.ts';
import type { EventContent } from './check-content.ts';
import { walkEvents } from './event-walk.ts';
import { createMissingRun } from './missing-run.ts';
import { nobody, type Owner } from './naming.ts';
import { hashOfRawEvent, type RawEvent, storedEventOf } from './raw-event.ts';
import { createReordering } from './reordering.ts';
import type { Verification } from './verification.ts';

/** An event with what its columns hash to. */
interface Link {
  readonly event: RawEvent;
  readonly computed: string;
  readonly intact: boolean;
}

/**
 * Walks the chain from its first event: every place filled, every hash that of its columns, every event the one
 * that the next one names. Hands events that are intact on to `content`. Yields the place it is at.
 */
export function* checkChain(verification: Verification, content: EventContent): Generator<number, void> {
  const { database, naming, suspect, report, upper } = verification;
  const missing = createMissingRun(verification);
  const reordering = createReordering(verification);
  let before: Link | undefined;
  for (const place of walkEvents(database, upper)) {
    const sequence = place.found === 'event' ? place.event.sequence : place.sequence;
    if (place.found === 'nothing') {
      missing.add(sequence);
      reordering.empty(sequence);
    } else missing.flush();
    if (place.found === 'unreadable' || place.found === 'nonsense') {
      suspect.add(sequence);
      content.skipped(sequence);
      const what =
        place.found === 'unreadable'
          ? `event ${sequence} cannot be read: the database file is damaged there`
          : `event ${sequence} was altered: its columns are not what a station writes`;
      report(
        place.found === 'unreadable' ? 'unreadable' : 'altered',
        naming.ofSequence(sequence),
        sequence,
        what,
      );
    }
    if (place.found !== 'event') {
      before = undefined;
      yield sequence;
      continue;
    }
    const link = linkOf(place.event);
    if (!link.intact) {
      suspect.add(sequence);
      reordering.altered(link.event);
      content.skipped(sequence);
    } else {
      checkJoint(verification, before, link);
      const event = storedEventOf(link.event);
      if (event === undefined) {
        suspect.add(sequence);
        report(
          'altered',
          naming.ofSequence(sequence),
          sequence,
          `event ${sequence} holds no event of a station`,
        );
        content.skipped(sequence);
      } else {
        learnKey(verification, event);
        content.event(event);
      }
    }
    before = link;
    yield sequence;
  }
  missing.flush();
  reordering.finish();
}

function linkOf(event: RawEvent): Link {
  const computed = hashOfRawEvent(event);
  return { event, computed, intact: computed === event.hash };
}

/** An intact event names another one before it than stands there: the one before was written anew. */
function checkJoint({ report, naming, suspect }: Verification, before: Link | undefined, link: Link): void {
  const { sequence, previousHash } = link.event;
  if (sequence === 1 && previousHash !== genesisHash) {
    report('removed', nobody, 1, 'what stood before event 1 was cut off');
    return;
  }
  if (before === undefined || !before.intact || previousHash === before.event.hash) return;
  suspect.add(before.event.sequence);
  const owner: Owner = naming.ofStream(before.event.stream);
  const what = `event ${before.event.sequence} was altered and hashed anew: event ${sequence} still names the one that was there`;
  report('altered', owner, before.event.sequence, what);
}

/**
 * A key is believed when the auditor knows it, or when a key that is believed vouches for it. One that came without
 * a voucher is named; that alone is no forgery: the key before may have been lost.
 */
function learnKey(verification: Verification, event: StoredEvent): void {
  if (event.stream !== 'station' || event.kind !== 'keyIntroduced') return;
  const { keys, trustedKeys, report } = verification;
  const owner = { ...nobody, stream: event.stream };
  const now = withKeyOf(keys, event);
  const key = now?.at(-1);
  if (now === undefined || key === undefined) {
    report('key', owner, event.sequence, `event ${event.sequence} introduces no usable key`);
    return;
  }
  verification.keys = now;
  if (trustedKeys.includes(key.keyId)) return;
  const before = keys.at(-1);
  if (before !== undefined && !key.isVouched) {
    const what = `key changed without voucher from event ${key.from} on: nothing shows that the holder of key ${before.keyId} made key ${key.keyId}. That is no forgery by itself: ask the workshop; if it lost the key there, name both with --key`;
    report('key', owner, event.sequence, what);
  } else if (before === undefined && trustedKeys.length > 0) {
    report('key', owner, event.sequence, `key ${key.keyId} is none of those that you trust`);
  }
}
