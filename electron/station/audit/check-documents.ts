import { z } from 'zod';
import { finding } from '../../../shared/audit/finding.ts';
import { hexOf } from '../store/event-row.ts';
import { sha256 } from '../store/sha256.ts';
import { attempt, nobody } from './naming.ts';
import { walkRows } from './row-walk.ts';
import type { Verification } from './verification.ts';

const rowSchema = z.object({
  key: z.int(),
  hash: z.instanceof(Uint8Array),
  kind: z.string(),
  body: z.instanceof(Uint8Array),
  put: z.int().nullable(),
});

/** Every document: its bytes still give the hash that it goes by, and an event says that it was put. */
export function* checkDocuments(verification: Verification): Generator<number, void> {
  const { database, report, suspect, upper } = verification;
  const last =
    attempt(() => database.prepare<[], number>('SELECT max(rowid) FROM document').pluck().get()) ?? 0;
  const columns = `hash, kind, CAST(body AS BLOB) AS body,
    (SELECT sequence FROM event WHERE stream = 'document/' || lower(hex(document.hash)) AND version = 1) AS "put"`;
  for (const walked of walkRows(database, {
    table: 'document',
    key: 'rowid',
    columns,
    upper: last,
    chunk: 20,
  })) {
    if ('unreadable' in walked) {
      report('document', nobody, null, finding('documentUnreadable', { place: walked.unreadable }));
      continue;
    }
    const parsed = rowSchema.safeParse(walked.row);
    if (!parsed.success) {
      report('document', nobody, null, finding('documentColumnsAltered', {}));
      continue;
    }
    const { hash, kind, body, put, key } = parsed.data;
    const document = `${/^[\w-]{1,40}$/.test(kind) ? kind : 'document'} ${hexOf(hash).slice(0, 16)}…`;
    const owner = { serial: null, jobId: null, stream: `document/${hexOf(hash)}` };
    if (sha256(body) !== hexOf(hash))
      report('document', owner, put, finding('documentAltered', { document }));
    // A document put while this runs has its event behind the last place looked at.
    if (put === null || (put <= upper && suspect.has(put))) {
      report('document', owner, put, finding('documentAdded', { document }));
    }
    yield key;
  }
}
