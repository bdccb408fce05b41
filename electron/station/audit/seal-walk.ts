import { z } from 'zod';
import { firstSealLink, sealLink, sealText } from '../../../shared/evidence/seal.ts';
import { isSignedBy } from '../signing-key.ts';
import { base64Of, hexOf } from '../store/event-row.ts';
import { sha256 } from '../store/sha256.ts';
import type { Database } from '../store/sqlite.ts';
import { hexColumn } from './event-walk.ts';
import { attempt } from './naming.ts';
import { walkRows } from './row-walk.ts';

const bytes = z.instanceof(Uint8Array);
const sealRowSchema = z.object({
  sequence: z.int(),
  stream: z.string(),
  key_id: z.string(),
  signature: bytes,
  link: bytes,
});

export interface FoundSeal {
  readonly sequence: number;
  readonly stream: string;
  readonly keyId: string;
  readonly signature: Uint8Array;
  /** Link of the seal before it. */
  readonly previousSeal: string;
  /** False when its link does not follow: it was changed, or the one before it was changed or removed. */
  readonly follows: boolean;
}

const columns = 'sequence, stream, key_id, signature, link';
/** Behind the key of the walk. */
const listed = `stream, key_id, signature, ${hexColumn('link')}`;

/** Every seal up to a place in the chain, in order, each tried against the one before it. */
export function* walkSeals(
  database: Database,
  upper: number,
): Generator<FoundSeal | { readonly unreadable: number }> {
  // When a seal was changed, one of the two still is what the next one follows: what is written as its link, or
  // what its content gives.
  let links: readonly string[] = [firstSealLink];
  const walk = { table: 'seal', key: 'sequence', columns: listed, upper, chunk: 1000, asLists: true };
  for (const walked of walkRows(database, walk)) {
    if ('unreadable' in walked) {
      yield walked;
      continue;
    }
    const [sequence, stream, keyId, signature, written] = walked.row as readonly unknown[];
    if (
      typeof sequence !== 'number' ||
      typeof stream !== 'string' ||
      typeof keyId !== 'string' ||
      !(signature instanceof Uint8Array) ||
      typeof written !== 'string'
    ) {
      yield { unreadable: Number(sequence) };
      continue;
    }
    const signed = base64Of(signature);
    const linkAfter = (previousSeal: string) =>
      attempt(() => sealLink({ previousSeal, sequence, stream, keyId, signature: signed }, sha256));
    const followed = links.find((previous) => linkAfter(previous) === written);
    const previousSeal = followed ?? links[0] ?? firstSealLink;
    yield { sequence, stream, keyId, signature, previousSeal, follows: followed !== undefined };
    links = followed === undefined ? [written, linkAfter(previousSeal) ?? written] : [written];
  }
}

/** The newest seal at or before a place in the chain, as it stands there. */
export function sealBefore(database: Database, sequence: number): FoundSeal | undefined {
  const rows = database
    .prepare<[number]>(`SELECT ${columns} FROM seal WHERE sequence <= ? ORDER BY sequence DESC LIMIT 2`)
    .all(sequence)
    .map((row) => sealRowSchema.safeParse(row));
  const [found, before] = rows;
  if (found?.success !== true) return undefined;
  const { stream, key_id: keyId, signature } = found.data;
  const previousSeal = before?.success === true ? hexOf(before.data.link) : firstSealLink;
  return { sequence: found.data.sequence, stream, keyId, signature, previousSeal, follows: true };
}

/** True when the station key signed that the chain ends at this place with this hash. */
export function isSealOf(seal: FoundSeal, hash: string, publicKey: string | undefined): boolean {
  if (publicKey === undefined) return false;
  const { sequence, previousSeal, signature } = seal;
  return isSignedBy(publicKey, sealText({ sequence, hash, previousSeal }), signature);
}
