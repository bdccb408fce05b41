import { finding } from '../../../shared/audit/finding.ts';
import { hexOf } from '../store/event-row.ts';
import { keyInForce } from '../store/known-keys.ts';
import { placesPerStep } from './check-chain.ts';
import { attempt } from './naming.ts';
import { hashOfRawEvent, rawEventColumns, rawEventOf } from './raw-event.ts';
import { type FoundSeal, isSealOf, sealBefore, walkSeals } from './seal-walk.ts';
import type { Verification } from './verification.ts';

/**
 * The seals: each follows the one before, and the newest bears the station's signature, which vouches for all of
 * them and for the whole chain. Where it does not, the first append that was written without the key is searched.
 */
export function* checkSeals(verification: Verification): Generator<number, void> {
  const { database, naming, report, suspect, upper } = verification;
  let last: FoundSeal | undefined;
  for (const seal of walkSeals(database, upper)) {
    if ('unreadable' in seal) {
      report(
        'seal',
        naming.ofSequence(seal.unreadable),
        seal.unreadable,
        finding('sealUnreadable', { event: seal.unreadable }),
      );
      continue;
    }
    if (!seal.follows) {
      const what = finding('sealBroken', { event: seal.sequence });
      report('seal', naming.ofSequence(seal.sequence), seal.sequence, what);
    }
    last = seal;
    if (seal.sequence % placesPerStep === 0) yield seal.sequence;
  }
  if (upper === 0) return;
  if (last === undefined) {
    report('seal', naming.ofSequence(upper), upper, finding('sealsRemoved', {}));
    return;
  }
  if (last.sequence < upper && !suspect.has(upper)) {
    const from = last.sequence + 1;
    report('added', naming.ofSequence(from), from, finding('eventsUnsealed', { event: from }));
  }
  if (!fits(verification, last)) findRewriting(verification, last.sequence);
}

/** True when the key in force there signed what stands there now, or when what stands there is reported by itself. */
function fits({ database, keys, suspect }: Verification, seal: FoundSeal): boolean {
  const inForce = keyInForce(keys, seal.sequence);
  const key = inForce?.keyId === seal.keyId ? inForce.publicKey : undefined;
  const row = attempt(() =>
    database.prepare<[number]>(`SELECT ${rawEventColumns} FROM event WHERE sequence = ?`).get(seal.sequence),
  );
  const event = row === undefined ? undefined : rawEventOf(row);
  if (event === undefined) return suspect.has(seal.sequence);
  if (isSealOf(seal, event.hash, key)) return true;
  if (!suspect.has(seal.sequence)) return false;
  // Its hash column was altered, or its content with it: the event after it still names the right one.
  const next = attempt(() =>
    database
      .prepare<[number], Uint8Array>('SELECT previous_hash FROM event WHERE sequence = ? + 1')
      .pluck()
      .get(seal.sequence),
  );
  return isSealOf(seal, hashOfRawEvent(event), key) || next === undefined || isSealOf(seal, hexOf(next), key);
}

/**
 * A seal vouches for every event before it, so the seals up to the rewriting fit and those behind it do not: found
 * by halving.
 */
function findRewriting(verification: Verification, lastSequence: number): void {
  const { database, naming, report, suspect } = verification;
  let good = 0;
  let bad = lastSequence;
  while (good < bad) {
    const middle = good + Math.floor((bad - good - 1) / 2);
    const seal = middle === good ? undefined : attempt(() => sealBefore(database, middle));
    if (seal === undefined || seal.sequence <= good) {
      // No seal between: look at the first one behind the middle.
      const next = attempt(() =>
        database
          .prepare<[number, number], number>(
            'SELECT sequence FROM seal WHERE sequence > ? AND sequence < ? ORDER BY sequence LIMIT 1',
          )
          .pluck()
          .get(middle, bad),
      );
      if (next === undefined) break;
      const found = attempt(() => sealBefore(database, next));
      if (found !== undefined && fits(verification, found)) good = next;
      else bad = next;
      continue;
    }
    if (fits(verification, seal)) good = seal.sequence;
    else bad = seal.sequence;
  }
  verification.rewrittenFrom = good + 1;
  const reported = [...suspect].some((sequence) => sequence > good && sequence <= bad);
  if (reported && bad === lastSequence) return;
  const what =
    good + 1 === bad
      ? finding('eventWrittenAnew', { event: bad })
      : finding('eventsWrittenAnew', { first: good + 1, last: bad });
  report('rewritten', naming.ofSequence(good + 1), good + 1, what);
}
