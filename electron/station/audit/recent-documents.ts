import type { FindDocument } from '../../../shared/evidence/evidence-rules.ts';
import { bytesOf } from '../store/event-row.ts';
import type { Database } from '../store/sqlite.ts';
import { attempt } from './naming.ts';

/** Documents by hash, the recent ones at hand: few profiles and sheets serve many jobs. */
export interface RecentDocuments {
  readonly find: FindDocument;
}

const kept = 500;

export function createRecentDocuments(database: Database): RecentDocuments {
  const statement = database.prepare<[Uint8Array], { kind: string; body: string }>(
    'SELECT kind, body FROM document WHERE hash = ?',
  );
  const recent = new Map<string, ReturnType<FindDocument>>();
  return {
    find(hash) {
      if (recent.has(hash)) return recent.get(hash);
      const document = attempt(() => {
        const row = statement.get(bytesOf(hash));
        return row && { kind: row.kind, body: JSON.parse(row.body) };
      });
      if (recent.size >= kept) recent.clear();
      recent.set(hash, document);
      return document;
    },
  };
}
