import { z } from 'zod';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { readVisit, type Visit } from '../audit/timeline.ts';
import { eventOfColumns } from '../store/event-row.ts';
import { createEvidenceReader, type EvidenceReader } from '../store/evidence-reader.ts';
import { migrations } from '../store/migrations/all.ts';
import { type Database, openSqlite } from '../store/sqlite.ts';
import type { SiteClient } from './site-client.ts';
import { inserterOf, takeAnything, withoutGuards } from './site-copy.ts';
import {
  type ChainRow,
  type ChainTable,
  chainSchema,
  chainSelect,
  chainTables,
  documentSchema,
  parseRows,
  querySite,
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

/** Visits of a serial, oldest first. Close it when they are told: their readers answer until then. */
export interface SiteTimeline {
  readonly visits: readonly SiteVisit[];
  close(): void;
}

/** Rows of the jobs, each with the chain that it is of. */
type RowOfChain = ChainRow & { readonly chain_id: number; readonly sequence: number };

const jobTables = ['event', 'record', 'job', 'job_end'] as const;
type JobTable = (typeof jobTables)[number];

interface FoundRows {
  readonly rows: Readonly<Record<JobTable, readonly RowOfChain[]>>;
  readonly documents: readonly ChainRow[];
}

/**
 * Every visit of a serial at every bench of the site, oldest first.
 *
 * @throws SiteFault
 */
export async function readSiteVisits(client: SiteClient, serial: string): Promise<SiteTimeline> {
  const { chains, rows } = await fetchSerial(client, serial);
  const hashes = new Set(rows.event.flatMap(documentsNamedBy));
  const documents = await querySite(
    client,
    documentSchema,
    "SELECT hash, kind, body FROM bandwright.document WHERE hash = ANY (SELECT decode(h, 'hex') FROM unnest($1::text[]) h)",
    [[...hashes]],
    'documents',
  );
  const stations = new Set(chains.map(({ station_id }) => station_id));
  const databases: Database[] = [];
  const visits = [...stations].flatMap((station) => {
    const branches = chains.filter(({ station_id }) => station_id === station);
    return visitsOfStation(branches, { rows, documents }, databases);
  });
  return {
    visits: visits.sort((a, b) => a.visit.job.openedAt.localeCompare(b.visit.job.openedAt)),
    close() {
      for (const database of databases) database.close();
    },
  };
}

/** How the rows of a job are found in a table, by its place `n`. */
const found: Readonly<Record<JobTable, string>> = {
  event: "t.period = n.period AND t.stream = 'job/' || n.job_id",
  record: 't.period = n.period AND t.job_id = n.job_id',
  job: 't.job_id = n.job_id',
  job_end: 't.job_id = n.job_id',
};

/** One question for everything: each way to the server and back would cost more than the rows. */
const serialSql = `
  WITH located AS MATERIALIZED (
    SELECT c.station_id, j.period, j.job_id FROM bandwright.job j JOIN bandwright.chain c USING (chain_id) WHERE j.serial = $1
  ), place AS MATERIALIZED (
    -- A job may go on in each branch of its station that begins behind its opening.
    SELECT DISTINCT c.chain_id, l.period, l.job_id FROM located l JOIN bandwright.chain c USING (station_id)
  )
  SELECT 'chain' AS source, to_json(f) AS row FROM (
    SELECT ${chainSelect} FROM bandwright.chain c JOIN bandwright.chain_head h USING (chain_id)
    WHERE c.chain_id IN (SELECT chain_id FROM place) ORDER BY c.chain_id
  ) AS f
  ${jobTables
    .map(
      (table) => `UNION ALL SELECT '${table}', to_json(f) FROM place n,
    LATERAL (SELECT chain_id, ${chainTables[table].select} FROM bandwright.${table} t WHERE t.chain_id = n.chain_id AND ${found[table]}) AS f`,
    )
    .join('\n  ')}`;

const sourcedSchema = z.object({
  source: z.enum(['chain', ...jobTables]),
  row: z.record(z.string(), z.union([z.string(), z.number(), z.null()])),
});

async function fetchSerial(
  client: SiteClient,
  serial: string,
): Promise<{ readonly chains: readonly SiteChain[]; readonly rows: FoundRows['rows'] }> {
  const all = await querySite(client, sourcedSchema, serialSql, [serial], 'serial');
  const rowsOf = <Row>(source: JobTable | 'chain', schema: z.ZodType<Row>): Row[] =>
    parseRows(
      schema,
      all.filter((one) => one.source === source).map(({ row }) => withBytes(row)),
    );
  const ofJobs = (table: JobTable) =>
    rowsOf(
      table,
      chainTables[table].schema.extend({ chain_id: z.int() }) as unknown as z.ZodType<RowOfChain>,
    );
  const rows = {
    event: ofJobs('event'),
    record: ofJobs('record'),
    job: ofJobs('job'),
    job_end: ofJobs('job_end'),
  };
  return { chains: rowsOf('chain', chainSchema), rows };
}

/** Columns of bytes come within JSON as `\\x` and hexadecimal digits. */
const byteColumns = ['hash', 'previous_hash', 'signature', 'link'] as const;

function withBytes(row: Readonly<Record<string, string | number | null>>): Readonly<Record<string, unknown>> {
  const bytes = byteColumns
    .filter((name) => typeof row[name] === 'string')
    .map((name) => [name, Buffer.from(String(row[name]).slice(2), 'hex')] as const);
  return { ...row, ...Object.fromEntries(bytes) };
}

/** Of an event that was altered none: its visit says so. */
function documentsNamedBy(row: RowOfChain): readonly string[] {
  try {
    return jobEvidence.documentsOf(eventOfColumns(row));
  } catch {
    return [];
  }
}

/** What the newest branch has, and what older ones alone have. */
function visitsOfStation(
  branches: readonly SiteChain[],
  found: FoundRows,
  opened: Database[],
): readonly SiteVisit[] {
  const shown = new Set<string>();
  return branches.toReversed().flatMap((branch, age) => {
    const database = databaseOf(branches, branch, found);
    opened.push(database);
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
