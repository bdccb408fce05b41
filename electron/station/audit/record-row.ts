import { z } from 'zod';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import type { Owner } from './naming.ts';
import type { Verification } from './verification.ts';

const bytes = z.instanceof(Uint8Array);

/** A row of `recordColumns`: the types that the store writes. */
export const recordRowSchema = z.object({
  sequence: z.int(),
  job_id: z.string(),
  revision: z.int(),
  serial: z.string(),
  body: bytes,
  hash: bytes,
  key_id: z.string(),
  signature: bytes,
});
export type RecordRow = z.infer<typeof recordRowSchema>;

export const recordColumns =
  'sequence, job_id, revision, serial, CAST(body AS BLOB) AS body, hash, key_id, signature';

/** Named by what the chain says first: the row itself may be what was altered. */
export function ownerOfRecord(
  { naming }: Verification,
  row: Pick<RecordRow, 'job_id'>,
  signed: StoredEvent | undefined,
): Owner {
  const jobId = signed?.body.jobId;
  return naming.ofStream(`job/${typeof jobId === 'string' ? jobId : row.job_id}`);
}
