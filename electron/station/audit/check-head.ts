import { finding } from '../../../shared/audit/finding.ts';
import { sealText } from '../../../shared/evidence/seal.ts';
import { isSignedBy } from '../signing-key.ts';
import { hexOf } from '../store/event-row.ts';
import type { Head } from '../store/head-file.ts';
import { keyInForce } from '../store/known-keys.ts';
import { attempt, nobody } from './naming.ts';
import type { Verification } from './verification.ts';

/** The head file: the station's, and not ahead of the chain. What is missing at the end is named. */
export function checkHead(
  verification: Verification,
  head: Head | 'missing' | 'unreadable',
  last: number,
): void {
  const { database, keys, report, suspect } = verification;
  if (head === 'missing') {
    if (last > 0) report('head', nobody, null, finding('headMissing', {}));
    return;
  }
  if (head === 'unreadable') {
    report('head', nobody, null, finding('headUnreadable', {}));
    return;
  }
  const { sequence, hash, previousSeal, keyId, signature } = head;
  const key = keys.find((one) => one.keyId === keyId);
  const text = sealText({ sequence, hash, previousSeal });
  if (key === undefined || !isSignedBy(key.publicKey, text, Buffer.from(signature, 'base64'))) {
    report('head', nobody, sequence, finding('headUnsigned', {}));
    return;
  }
  if (keyInForce(keys, sequence)?.keyId !== keyId) {
    const what = finding('headOfOtherKey', { key: keyId, event: sequence });
    report('head', nobody, sequence, what);
    return;
  }
  if (sequence > last) {
    const what =
      sequence - last === 1
        ? finding('endCutOff', { event: sequence })
        : finding('longEndCutOff', { first: last + 1, last: sequence });
    report('truncated', nobody, last + 1, what);
    return;
  }
  const found = attempt(() =>
    database.prepare<[number], Uint8Array>('SELECT hash FROM event WHERE sequence = ?').pluck().get(sequence),
  );
  const differs = found === undefined || hexOf(found) !== hash;
  if (differs && !suspect.has(sequence) && verification.rewrittenFrom === undefined) {
    report('rewritten', nobody, sequence, finding('headNamesOther', { event: sequence }));
  }
}
