import { z } from 'zod';
import { openBranches, type SiteBranch } from './site-branches.ts';
import type { SiteClient } from './site-client.ts';
import type { SiteJobs } from './site-jobs.ts';
import { chainTables, querySite, readChains } from './site-rows.ts';

/** The newest branch of a station with some of its rows. Close it when it is told. */
export interface SiteStation {
  readonly branch: SiteBranch;
  close(): void;
}

/**
 * A station with these rows of it; undefined where the site has no such station.
 *
 * @throws SiteFault
 */
export async function openStation(
  client: SiteClient,
  stationId: string,
  rowsOf: (chainIds: readonly number[]) => Promise<Omit<SiteJobs, 'chains'>>,
): Promise<SiteStation | undefined> {
  const chains = await readChains(client, [stationId]);
  if (chains.length === 0) return undefined;
  const rows = await rowsOf(chains.map(({ chain_id }) => chain_id));
  const { branches, close } = openBranches({ ...rows, chains });
  const branch = branches.find(({ isOlder }) => !isOlder);
  if (branch === undefined) throw new Error(`${stationId} has no branch`);
  return { branch, close };
}

/**
 * A station with its register alone: the instruments and the people that it knows.
 *
 * @throws SiteFault
 */
export function openRegister(client: SiteClient, stationId: string): Promise<SiteStation | undefined> {
  return openStation(client, stationId, async (chainIds) => ({
    rows: { event: await readStreams(client, chainIds, ['instrument/%', 'person/%']) },
    documents: [],
  }));
}

/**
 * Events of the streams whose names are like one of these patterns.
 *
 * @throws SiteFault
 */
export function readStreams(
  client: SiteClient,
  chainIds: readonly number[],
  patterns: readonly string[],
): Promise<z.infer<typeof eventSchema>[]> {
  return querySite(
    client,
    eventSchema,
    `SELECT chain_id, ${chainTables.event.select} FROM bandwright.event
     WHERE chain_id = ANY ($1::integer[]) AND (${patterns.map((_, index) => `stream LIKE $${index + 2}`).join(' OR ')})`,
    [chainIds, ...patterns],
  );
}

const eventSchema = chainTables.event.schema.extend({ chain_id: z.int() });
