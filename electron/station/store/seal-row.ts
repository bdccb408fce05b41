import { toBase64 } from '../../../shared/evidence/base64.ts';
import { firstSealLink } from '../../../shared/evidence/seal.ts';
import { hexOf } from './event-row.ts';
import type { Head } from './head-file.ts';
import type { Database } from './sqlite.ts';

interface SealRow {
  readonly sequence: number;
  readonly key_id: string;
  readonly signature: Uint8Array;
  readonly hash: Uint8Array;
}

/** The chain's signed end as the database has it; undefined for an empty chain. */
export function readHeadFromSeals(database: Database): Head | undefined {
  const seal = database
    .prepare<[], SealRow>(
      `SELECT seal.sequence, seal.key_id, seal.signature, event.hash FROM seal JOIN event USING (sequence)
       ORDER BY seal.sequence DESC LIMIT 1`,
    )
    .get();
  if (seal === undefined) return undefined;
  const link = database
    .prepare<[number], Uint8Array>('SELECT link FROM seal WHERE sequence < ? ORDER BY sequence DESC LIMIT 1')
    .pluck()
    .get(seal.sequence);
  return {
    sequence: seal.sequence,
    hash: hexOf(seal.hash),
    previousSeal: link === undefined ? firstSealLink : hexOf(link),
    keyId: seal.key_id,
    signature: toBase64(seal.signature),
  };
}
