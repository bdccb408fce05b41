import { canonicalJson } from './canonical-json.ts';
import { genesisHash, type HashText } from './chain.ts';

/** What the station key signs at the end of each append: how long the chain is, how it ends, and all seals before. */
export interface SealContent {
  /** Place of the last event that is sealed. */
  readonly sequence: number;
  /** Hash of that event. */
  readonly hash: string;
  /** `sealLink` of the seal before, or `firstSealLink`. */
  readonly previousSeal: string;
}

/** What the first seal names as the one before it. */
export const firstSealLink = genesisHash;

/**
 * The signed text. Whoever holds it with its signature can show that a shorter or another chain is not the one
 * that was sealed.
 */
export function sealText({ sequence, hash, previousSeal }: SealContent): string {
  return canonicalJson({ format: 'bandwright chain seal 1', hash, previousSeal, sequence });
}

/** A seal as it is kept: what it belongs to and its signature (base64). */
export interface SealEntry {
  readonly previousSeal: string;
  readonly sequence: number;
  /** Stream of the append's last event, so that a removed event can be named. */
  readonly stream: string;
  readonly keyId: string;
  readonly signature: string;
}

/** Chains the seals, so that one signature check at the end vouches for every seal before it. */
export function sealLink(
  { previousSeal, sequence, stream, keyId, signature }: SealEntry,
  hash: HashText,
): string {
  // Written out, for speed: a verification makes the link of every append.
  return hash(
    `{"keyId":${canonicalJson(keyId)},"previousSeal":${canonicalJson(previousSeal)},"sequence":${canonicalJson(sequence)},"signature":${canonicalJson(signature)},"stream":${canonicalJson(stream)}}`,
  );
}
