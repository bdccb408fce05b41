import { z } from 'zod';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { readVisit, type Visit } from '../audit/timeline.ts';
import { eventOfRow } from '../store/event-row.ts';
import { createEvidenceReader, type EvidenceReader } from '../store/evidence-reader.ts';
import { migrations } from '../store/migrations/all.ts';
import { type Database, openSqlite } from '../store/sqlite.ts';
import type { SiteClient } from './site-client.ts';
import { inserterOf, takeAnything, withoutGuards } from './site-copy.ts';
import {
  type ChainRow,
  type ChainTable,
  chainTables,
  documentSchema,
  parseRows,
  querySite,
  readChains,
  type SiteChain,
  stretchesOf,
} from './site-rows.ts';

/** A visit of a serial, and where it was. */
export interface SiteVisit {
  readonly benchId: string;
  readonly stationId: string;
  readonly branch: number;
  /** True for what only an older branch has: the station went on without it. */
  readonly isLeftBehind: boolean;
  readonly visit: Visit;
  /** Answers for this visit, as that of a station does. */
  readonly reader: EvidenceReader;
}

const locatedSchema = z.object({
  chain_id: z.int(),
  station_id: z.string(),
  period: z.string(),
  job_id: z.string(),
});
type LocatedJob = z.infer<typeof locatedSchema>;

/** Rows of the jobs, each with the chain that it is of. */
type RowOfChain = ChainRow & { readonly chain_id: number; readonly sequence: number };

/**
 * Every visit of a serial at every bench of the site, oldest first.
 *
 * @throws SiteFault
 */
export async function readSiteVisits(client: SiteClient, serial: string): Promise<readonly SiteVisit[]> {
  const jobs = await querySite(
    client,
    locatedSchema,
    `SELECT j.chain_id, c.station_id, j.period::text, j.job_id
     FROM bandwright.job j JOIN bandwright.chain c USING (chain_id) WHERE j.serial = $1`,
    [serial],
    'jobs-of-serial',
  );
  if (jobs.length === 0) return [];
  const stations = [...new Set(jobs.map(({ station_id }) => station_id))];
  const chains = await readChains(client, stations);
  const found = await fetchJobs(client, jobs, chains);
  const visits = stations.flatMap((station) => {
    const branches = chains.filter(({ station_id }) => station_id === station);
    return visitsOfStation(branches, found);
  });
  return visits.sort((a, b) => a.visit.job.openedAt.localeCompare(b.visit.job.openedAt));
}

interface FoundRows {
  readonly rows: Readonly<Record<'event' | 'record' | 'job' | 'job_end', readonly RowOfChain[]>>;
  readonly documents: readonly ChainRow[];
}

/** Everything of these jobs in all branches of their stations, and the documents that they name. */
async function fetchJobs(
  client: SiteClient,
  jobs: readonly LocatedJob[],
  chains: readonly SiteChain[],
): Promise<FoundRows> {
  // A job may go on in each branch that begins behind its opening.
  const places = jobs.flatMap((job) =>
    chains
      .filter(({ station_id }) => station_id === job.station_id)
      .map(({ chain_id }) => ({ chainId: chain_id, period: job.period, jobId: job.job_id })),
  );
  const parameters = [
    places.map(({ chainId }) => chainId),
    places.map(({ period }) => period),
    places.map(({ jobId }) => jobId),
  ];
  const fetch = async (
    table: 'event' | 'record' | 'job' | 'job_end',
    where: string,
  ): Promise<RowOfChain[]> => {
    const { select, schema } = chainTables[table];
    const rows = await querySite(
      client,
      z.unknown(),
      `SELECT f.* FROM unnest($1::integer[], $2::date[], $3::text[]) AS n (chain_id, period, job_id),
       LATERAL (SELECT chain_id, ${select} FROM bandwright.${table} t WHERE t.chain_id = n.chain_id AND ${where}) AS f`,
      parameters,
      `${table}-of-jobs`,
    );
    const extended = schema.extend({ chain_id: z.int() }) as unknown as z.ZodType<RowOfChain>;
    return parseRows(extended, rows);
  };
  const rows = {
    event: await fetch('event', "t.period = n.period AND t.stream = 'job/' || n.job_id"),
    record: await fetch('record', 't.period = n.period AND t.job_id = n.job_id'),
    job: await fetch('job', 't.job_id = n.job_id'),
    job_end: await fetch('job_end', 't.job_id = n.job_id'),
  };
  const hashes = new Set(rows.event.flatMap(documentsNamedBy));
  const documents = await querySite(
    client,
    documentSchema,
    "SELECT hash, kind, body FROM bandwright.document WHERE hash = ANY (SELECT decode(h, 'hex') FROM unnest($1::text[]) h)",
    [[...hashes]],
    'documents',
  );
  return { rows, documents };
}

/** Of an event that was altered none: its visit says so. */
function documentsNamedBy(row: RowOfChain): readonly string[] {
  try {
    return jobEvidence.documentsOf(eventOfRow(row));
  } catch {
    return [];
  }
}

/** What the newest branch has, and what older ones alone have. */
function visitsOfStation(branches: readonly SiteChain[], found: FoundRows): readonly SiteVisit[] {
  const shown = new Set<string>();
  return branches.toReversed().flatMap((branch, age) => {
    const database = databaseOf(branches, branch, found);
    const reader = createEvidenceReader(database);
    return reader.findJobs({}, 0, 100_000).flatMap((job): SiteVisit[] => {
      const visit = readVisit(reader, job);
      const { benchId, stationId } = { benchId: branch.bench_id, stationId: branch.station_id };
      // A newer branch that took the visit over tells it whole.
      const end = visit.events.at(-1)?.stored.hash ?? '';
      if (age > 0 && shown.has(end)) return [];
      for (const { stored } of visit.events) shown.add(stored.hash);
      return [{ benchId, stationId, branch: branch.branch, isLeftBehind: age > 0, visit, reader }];
    });
  });
}

/** The rows of one branch, as a station has them, in memory. */
function databaseOf(
  branches: readonly SiteChain[],
  branch: SiteChain,
  { rows, documents }: FoundRows,
): Database {
  const database = emptyDatabase();
  const stretches = stretchesOf(branches, branch);
  for (const [table, all] of Object.entries(rows) as [ChainTable, readonly RowOfChain[]][]) {
    const own = all.filter(({ chain_id, sequence }) =>
      stretches.some(
        ({ chainId, after, upTo }) => chain_id === chainId && sequence > after && sequence <= upTo,
      ),
    );
    inserterOf(database, table)(own);
  }
  inserterOf(database, 'document')(documents);
  return database;
}

/** A database without rows, made once. */
let template: Buffer | undefined;

function emptyDatabase(): Database {
  if (template === undefined) {
    const made = openSqlite(':memory:', {});
    for (const { sql } of migrations) made.exec(sql);
    // What was altered is shown as altered, not refused.
    withoutGuards(made);
    template = made.serialize();
    made.close();
  }
  const database = openSqlite(template, {});
  takeAnything(database);
  return database;
}
