import { z } from 'zod';
import type { ChartWish } from '../../../shared/audit/filter.ts';
import type { CalibratedInstrumentView } from '../../../shared/audit/impact-view.ts';
import type { ChartView, CheckChartView } from '../../../shared/audit/view.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { calibratedInstruments } from '../audit/calibrated-instruments.ts';
import { checkChart } from '../audit/check-chart.ts';
import { namesOfPeople } from '../audit/people-names.ts';
import { processChart } from '../audit/process-chart.ts';
import type { CaptureFilter } from '../store/filters.ts';
import type { SiteClient } from './site-client.ts';
import { fetchJobs, jobsByName } from './site-jobs.ts';
import { withNames } from './site-names.ts';
import { readingCondition } from './site-readings.ts';
import { openRegister, openStation, type SiteStation } from './site-register.ts';
import { querySite, readChains, stretchesOf } from './site-rows.ts';

/**
 * The control chart of a station, as its own desk draws it: the jobs of the newest readings are fetched, and charted
 * there. The process is that of one bench, with its instruments: readings of several are several processes.
 *
 * @param filter the filter of the wish as the index of the site understands it
 * @throws SiteFault
 */
export async function siteChart(
  client: SiteClient,
  stationId: string,
  wish: ChartWish,
  filter: CaptureFilter,
): Promise<Result<ChartView>> {
  const station = await openStation(client, stationId, async () => {
    const newest = await newestReadings(client, stationId, filter, wish.last + 1);
    return withNames(client, await fetchJobs(client, jobsByName(newest)));
  });
  return inStation(station, ({ database, reader }) => {
    // The jobs of a lot were found by it, and a certificate by its number.
    const { lotId: _, certificate: __, ...asked } = wish.filter;
    const certificate = filter.certificateHash;
    return processChart(
      { database, reader, nameOf: namesOfPeople(reader) },
      { ...wish, filter: { ...asked, ...(certificate === undefined ? {} : { certificate }) } },
    );
  });
}

/**
 * The checks of an instrument with known masses or torques, as its station has them.
 *
 * @throws SiteFault
 */
export async function siteCheckChart(
  client: SiteClient,
  stationId: string,
  instrumentId: string,
): Promise<Result<CheckChartView>> {
  return inStation(await openRegister(client, stationId), ({ reader }) =>
    checkChart(reader, instrumentId, namesOfPeople(reader)),
  );
}

/**
 * The instruments in the register of a station that were ever calibrated.
 *
 * @throws SiteFault
 */
export async function siteInstruments(
  client: SiteClient,
  stationId: string,
): Promise<Result<{ instruments: CalibratedInstrumentView[] }>> {
  return inStation(await openRegister(client, stationId), ({ reader }) =>
    ok({ instruments: calibratedInstruments(reader) }),
  );
}

/** Answers from a station, and closes it. */
export function inStation<Value>(
  station: SiteStation | undefined,
  answer: (branch: SiteStation['branch']) => Result<Value>,
): Result<Value> {
  if (station === undefined)
    return refuse('station_unknown', 'stationId', 'The site has no such station; choose one of the list.');
  try {
    return answer(station.branch);
  } finally {
    station.close();
  }
}

const readingSchema = z.object({ chainId: z.int(), jobId: z.string() });

/** The newest readings of a station's newest branch that a chart takes: see `processChart`, which chooses among them. */
async function newestReadings(
  client: SiteClient,
  stationId: string,
  filter: CaptureFilter,
  limit: number,
): Promise<z.infer<typeof readingSchema>[]> {
  const chains = await readChains(client, [stationId]);
  const branch = chains.at(-1);
  if (branch === undefined) return [];
  const stretches = stretchesOf(chains, branch);
  const { where, values } = readingCondition(filter);
  const n = values.length;
  const isInBranch = (name: string) => `${name}.chain_id = ANY ($${n + 1}::integer[]) AND EXISTS (
      SELECT 1 FROM unnest($${n + 1}::integer[], $${n + 2}::bigint[], $${n + 3}::bigint[]) AS s (chain_id, behind, up_to)
      WHERE ${name}.chain_id = s.chain_id AND ${name}.sequence > s.behind AND ${name}.sequence <= s.up_to)`;
  return querySite(
    client,
    readingSchema,
    // In order first, then the rest one by one until there are enough: OFFSET 0 keeps the planner from asking it of all.
    `SELECT c.chain_id AS "chainId", c.job_id AS "jobId"
     FROM (
       SELECT c.chain_id, c.job_id, c.step_id, c.sequence, c.at
       FROM bandwright.capture c JOIN bandwright.chain ch USING (chain_id)
       WHERE ${where} AND ${isInBranch('c')}
       ORDER BY c.at DESC, c.sequence DESC OFFSET 0
     ) AS c
     WHERE NOT EXISTS (SELECT 1 FROM bandwright.capture later WHERE later.job_id = c.job_id
                         AND later.step_id = c.step_id AND later.sequence > c.sequence AND ${isInBranch('later')} OFFSET 0)
       AND coalesce((SELECT e.phase FROM bandwright.job_end e WHERE e.job_id = c.job_id AND ${isInBranch('e')}
                       ORDER BY e.sequence DESC LIMIT 1), 'open') NOT IN ('abandoned', 'voided')
     ORDER BY c.at DESC, c.sequence DESC LIMIT ${limit}`,
    [
      ...values,
      stretches.map(({ chainId }) => chainId),
      stretches.map(({ after }) => after),
      stretches.map(({ upTo }) => upTo),
    ],
  );
}
