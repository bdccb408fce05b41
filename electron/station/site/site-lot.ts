import { z } from 'zod';
import type { VisitPlaceView } from '../../../shared/audit/view.ts';
import { type LotTrace, traceOfLot } from '../audit/lot-trace.ts';
import { openBranches, placeOfBranch } from './site-branches.ts';
import type { SiteClient } from './site-client.ts';
import { fetchJobs, indexByName } from './site-jobs.ts';
import { readNamedStreams, withNames } from './site-names.ts';
import { chainTables, querySite } from './site-rows.ts';

/** A lot at one station, as its own command traces it, and where that is. */
export interface SiteLotTrace {
  readonly place: VisitPlaceView;
  readonly trace: LotTrace;
}

const consumptionSchema = chainTables.consumption.schema.extend({ chain_id: z.int() });

/**
 * A lot at every bench at which a job used it, by bench; of an older branch the jobs that its station went on without.
 *
 * @param most only of the newest so many uses; left out: of all
 * @throws SiteFault
 */
export async function traceSiteLot(
  client: SiteClient,
  lotId: string,
  most: number | null = null,
): Promise<{ readonly traces: readonly SiteLotTrace[]; readonly isCut: boolean }> {
  const found = await querySite(
    client,
    consumptionSchema,
    `SELECT chain_id, ${chainTables.consumption.select} FROM bandwright.consumption u
     WHERE lot_id = $1 ORDER BY u.at DESC LIMIT $2`,
    [lotId, most === null ? null : most + 1],
    'consumption',
  );
  const consumption = most === null ? found : found.slice(0, most);
  const jobs = await fetchJobs(
    client,
    indexByName(consumption.map(({ chain_id, job_id }) => ({ chainId: chain_id, jobId: job_id }))),
  );
  const event = await readNamedStreams(client, jobs.chains, [`lot/${lotId}`]);
  const { branches, close } = openBranches(
    await withNames(client, { ...jobs, rows: { ...jobs.rows, event, consumption } }),
  );
  try {
    const told = new Set<string>();
    const traces = branches
      .flatMap((branch): SiteLotTrace[] => {
        const whole = traceOfLot(branch.reader, lotId);
        const own = (whole?.jobs ?? []).filter(({ jobId }) => !told.has(`${branch.stationId} ${jobId}`));
        if (whole === null || (branch.isOlder && own.length === 0)) return [];
        for (const { jobId } of own) told.add(`${branch.stationId} ${jobId}`);
        return [{ place: placeOfBranch(branch), trace: { ...whole, jobs: own } }];
      })
      .sort(
        ({ place: a }, { place: b }) =>
          a.benchId.localeCompare(b.benchId, 'en', { numeric: true }) ||
          a.stationId.localeCompare(b.stationId) ||
          b.branch - a.branch,
      );
    return { traces, isCut: found.length > consumption.length };
  } finally {
    close();
  }
}
