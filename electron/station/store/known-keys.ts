import { z } from 'zod';
import { fromBase64 } from '../../../shared/evidence/base64.ts';
import { keyVoucherText } from '../../../shared/evidence/key-voucher.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { hashSchema } from '../../../shared/identifier.ts';
import { isSignedBy } from '../signing-key.ts';
import type { EvidenceReader } from './evidence-reader.ts';
import { sha256 } from './sha256.ts';

const introductionSchema = z.object({
  algorithm: z.literal('Ed25519'),
  keyId: hashSchema,
  /** SubjectPublicKeyInfo (DER), base64. */
  publicKey: z.base64(),
  /** The key that signed before, when this one takes over. */
  replaces: hashSchema.optional(),
  /** Signature of the key before over `keyVoucherText`, base64; not there when that key was lost. */
  voucher: z.base64().optional(),
});
export type KeyIntroduction = z.infer<typeof introductionSchema>;

/** A key of the station, in the order in which the chain brings them. */
export interface StationKey extends KeyIntroduction {
  /** Place of the event that brings it. */
  readonly introducedAt: number;
  /** The first place that it seals: the introduction itself, or the one after it where the old key sealed that. */
  readonly from: number;
  /** True for the first key, and for one that the key before it vouches for. */
  readonly isVouched: boolean;
}

/** The keys so far and the one that an event `keyIntroduced` brings; undefined when it brings none that is usable. */
export function withKeyOf(
  keys: readonly StationKey[],
  { sequence, body }: Pick<StoredEvent, 'sequence' | 'body'>,
): readonly StationKey[] | undefined {
  const parsed = introductionSchema.safeParse(body);
  if (!parsed.success) return undefined;
  const introduction = parsed.data;
  if (sha256(Buffer.from(introduction.publicKey, 'base64')) !== introduction.keyId) return undefined;
  const before = keys.at(-1);
  const takesOver = before !== undefined && isVouchedBy(before, introduction);
  const key: StationKey = {
    ...introduction,
    introducedAt: sequence,
    from: takesOver ? sequence + 1 : sequence,
    isVouched: before === undefined || takesOver,
  };
  return [...keys, key];
}

/** The keys that events of the stream `station` bring. */
export function stationKeysOf(events: readonly StoredEvent[]): readonly StationKey[] {
  let keys: readonly StationKey[] = [];
  for (const event of events) if (event.kind === 'keyIntroduced') keys = withKeyOf(keys, event) ?? keys;
  return keys;
}

/** The keys that a chain brings. */
export function readStationKeys(reader: Pick<EvidenceReader, 'readStream'>): readonly StationKey[] {
  return stationKeysOf(reader.readStream('station'));
}

/** The key that signs at a place in the chain: a retired one signs no more, whoever holds it. */
export function keyInForce(keys: readonly StationKey[], sequence: number): StationKey | undefined {
  return keys.findLast(({ from }) => from <= sequence);
}

function isVouchedBy(before: KeyIntroduction, { keyId, replaces, voucher }: KeyIntroduction): boolean {
  if (replaces !== before.keyId || voucher === undefined) return false;
  const signature = fromBase64(voucher);
  return (
    signature !== undefined && isSignedBy(before.publicKey, keyVoucherText({ keyId, replaces }), signature)
  );
}
