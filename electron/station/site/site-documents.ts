import { hexOf } from '../store/event-row.ts';
import type { SiteClient } from './site-client.ts';
import { type ChainRow, documentSchema, querySite } from './site-rows.ts';

/** Documents that a connection has read, by their hash: sheets, profiles and certificates, the same for many jobs. */
const readBefore = new WeakMap<SiteClient, Map<string, readonly ChainRow[]>>();
const mostRemembered = 500;

/**
 * Documents by their hashes; what the connection has read before is not asked for again.
 *
 * @throws SiteFault
 */
export async function readDocuments(
  client: SiteClient,
  hashes: readonly string[],
): Promise<readonly ChainRow[]> {
  let known = readBefore.get(client);
  if (known === undefined || known.size > mostRemembered) {
    known = new Map();
    readBefore.set(client, known);
  }
  const missing = hashes.filter((hash) => !known.has(hash));
  if (missing.length > 0) {
    const found = await querySite(
      client,
      documentSchema,
      "SELECT hash, kind, body FROM bandwright.document WHERE hash = ANY (SELECT decode(h, 'hex') FROM unnest($1::text[]) h)",
      [missing],
      'documents',
    );
    for (const [hash, rows] of Map.groupBy(found, (row) => hexOf(row.hash))) known.set(hash, rows);
  }
  return hashes.flatMap((hash) => known.get(hash) ?? []);
}
