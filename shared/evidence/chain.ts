import { canonicalJson } from './canonical-json.ts';
import type { StoredEvent } from './stored-event.ts';

/** SHA-256 of the UTF-8 bytes of a text, as 64 lower-case hexadecimal digits (FIPS 180-4). Handed in: no Node here. */
export type HashText = (text: string) => string;

/** What the first event of a station names as the hash before it. */
export const genesisHash = '0'.repeat(64);

/** An event without its hash, its body already as canonical JSON text. */
export interface Envelope extends Omit<StoredEvent, 'body' | 'hash'> {
  readonly bodyText: string;
}

/**
 * The canonical JSON of {at, body, kind, personId, previousHash, sequence, stream, version}, cut where the body
 * stands, so that a verifier can hash the stored bytes of the body without believing that they are JSON.
 */
export function envelopeAround(envelope: Omit<Envelope, 'bodyText'>): { before: string; after: string } {
  const { at, kind, personId, previousHash, sequence, stream, version } = envelope;
  return {
    before: `{"at":${canonicalJson(at)},"body":`,
    // Written out, for speed: every event that is read passes here.
    after: `,"kind":${canonicalJson(kind)},"personId":${canonicalJson(personId)},"previousHash":${canonicalJson(previousHash)},"sequence":${canonicalJson(sequence)},"stream":${canonicalJson(stream)},"version":${canonicalJson(version)}}`,
  };
}

/** The hash of an event: over its place, its content and the hash before it. */
export function eventHash<Hash>(envelope: Envelope, hash: (text: string) => Hash): Hash {
  const { before, after } = envelopeAround(envelope);
  return hash(before + envelope.bodyText + after);
}
