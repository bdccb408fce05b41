import { z } from 'zod';
import type { SiteClient } from './site-client.ts';
import type { RowOfChain, SiteJobs } from './site-jobs.ts';
import { chainTables, querySite, type SiteChain } from './site-rows.ts';

const eventSchema = chainTables.event.schema.extend({ chain_id: z.int() });

/**
 * The same jobs with the streams of the people and lots that they name: whoever shows them has names for them.
 *
 * @throws SiteFault
 */
export async function withNames(client: SiteClient, jobs: SiteJobs): Promise<SiteJobs> {
  const streams = new Set((jobs.rows.event ?? []).flatMap(streamsNamedBy));
  const named = await readNamedStreams(client, jobs.chains, [...streams]);
  return { ...jobs, rows: { ...jobs.rows, event: [...(jobs.rows.event ?? []), ...named] } };
}

/**
 * The events of whole streams, in these chains.
 *
 * @throws SiteFault
 */
export function readNamedStreams(
  client: SiteClient,
  chains: readonly SiteChain[],
  streams: readonly string[],
): Promise<RowOfChain[]> {
  return querySite(
    client,
    eventSchema,
    `SELECT chain_id, ${chainTables.event.select} FROM bandwright.event
     WHERE chain_id = ANY ($1::integer[]) AND stream = ANY ($2::text[])`,
    [chains.map(({ chain_id }) => chain_id), streams],
    'streams',
  );
}

const named = { personId: 'person', toPersonId: 'person', secondPersonId: 'person', lotId: 'lot' } as const;

function streamsNamedBy({ body }: RowOfChain): readonly string[] {
  const event = parsedOr(String(body));
  return Object.entries(named).flatMap(([field, stream]) =>
    typeof event?.[field] === 'string' ? [`${stream}/${event[field]}`] : [],
  );
}

/** What was altered names nobody. */
function parsedOr(text: string): Readonly<Record<string, unknown>> | null {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
