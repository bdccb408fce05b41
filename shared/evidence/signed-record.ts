import { z } from 'zod';
import { hashSchema } from '../identifier.ts';
import { canonicalJson, type JsonObject } from './canonical-json.ts';
import type { HashText } from './chain.ts';

/** What proves a record: its own hash, and the station key's signature over that hash. */
export const proofSchema = z.strictObject({
  hash: hashSchema,
  keyId: hashSchema,
  /** Ed25519 (RFC 8032) over `recordSignatureText`, base64. */
  signature: z.base64(),
});
export type RecordProof = z.infer<typeof proofSchema>;

/** A record as it is printed, exported and compared: its content and what proves it, side by side. */
export type SignedRecord = JsonObject & RecordProof;

/** The hash of a record: over the canonical JSON of its content without `hash`, `keyId` and `signature`. */
export function recordHash(content: JsonObject, hash: HashText): string {
  return hash(canonicalJson(content));
}

/** The text that the station key signs for a record. */
export function recordSignatureText(hash: string): string {
  return canonicalJson({ format: 'bandwright record signature 1', hash });
}

/** A record's content together with its proof. */
export function sealedRecord(content: JsonObject, proof: RecordProof): SignedRecord {
  return { ...content, hash: proof.hash, keyId: proof.keyId, signature: proof.signature };
}
