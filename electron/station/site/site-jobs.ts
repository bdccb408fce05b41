import { z } from 'zod';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import type { SiteClient } from './site-client.ts';
import { readDocuments } from './site-documents.ts';
import {
  type ChainRow,
  type ChainTable,
  chainSchema,
  chainSelect,
  chainTables,
  parseRows,
  querySite,
  type SiteChain,
} from './site-rows.ts';

/** A row with the chain that it is of. */
export type RowOfChain = ChainRow & { readonly chain_id: number; readonly sequence: number };

const jobTables = ['event', 'record', 'job', 'job_end', 'capture'] as const;
type JobTable = (typeof jobTables)[number];

/** What is asked for. */
export interface WantedJobs {
  /** A question that is asked again and again is planned once for each connection. */
  readonly name: string;
  /** SQL that names `station_id`, `period` and `job_id`. */
  readonly located: string;
  readonly values: readonly unknown[];
  /** The rows of these tables. */
  readonly tables: readonly JobTable[];
}

/** Rows of some jobs, from every chain that has any of them, with the documents that their events name. */
export interface SiteJobs {
  readonly chains: readonly SiteChain[];
  readonly rows: Readonly<Partial<Record<ChainTable, readonly RowOfChain[]>>>;
  readonly documents: readonly ChainRow[];
}

/** Every job of a serial, as far as its visits are told by it. */
export function jobsOfSerial(serial: string): WantedJobs {
  return {
    name: 'serial',
    located: `SELECT c.station_id, j.period, j.job_id FROM bandwright.job j JOIN bandwright.chain c USING (chain_id)
      WHERE j.serial = $1`,
    values: [serial],
    tables: ['event', 'record', 'job', 'job_end'],
  };
}

/** Jobs by any chain of their station, with the index of their readings. */
export function jobsByName(
  jobs: readonly { readonly chainId: number; readonly jobId: string }[],
): WantedJobs {
  return {
    name: 'jobs',
    located: `SELECT DISTINCT o.station_id, j.period, j.job_id FROM unnest($1::integer[], $2::text[]) AS n (chain_id, job_id)
      JOIN bandwright.chain c ON c.chain_id = n.chain_id JOIN bandwright.chain o ON o.station_id = c.station_id
      JOIN bandwright.job j ON j.chain_id = o.chain_id AND j.job_id = n.job_id`,
    values: [jobs.map(({ chainId }) => chainId), jobs.map(({ jobId }) => jobId)],
    tables: ['event', 'record', 'job', 'job_end', 'capture'],
  };
}

/** The same as their index has them, without events. */
export function indexByName(jobs: Parameters<typeof jobsByName>[0]): WantedJobs {
  return { ...jobsByName(jobs), name: 'index of jobs', tables: ['job', 'job_end'] };
}

/**
 * Fetches jobs: where they are with what is found by year, then their events and records out of the months in which
 * they lie, then the documents that these name. To open every month's partition would take longer than all of that
 * from some 30 months on. What came between the first two questions lies behind the heads of the chains, which the
 * first one read, and counts for nothing.
 *
 * @throws SiteFault
 */
export async function fetchJobs(client: SiteClient, wanted: WantedJobs): Promise<SiteJobs> {
  const indexed = await querySite(client, sourcedSchema, indexSql(wanted), wanted.values, wanted.name);
  const places = rowsFrom(indexed, 'place', placeSchema);
  const lying = await readMonths(client, wanted.tables.filter(isMonthly), places);
  const all = [...indexed, ...lying];
  const rows = Object.fromEntries(
    wanted.tables.map((table) => [table, rowsFrom(all, table, rowSchemas[table])]),
  );
  const hashes = new Set((rows.event ?? []).flatMap(documentsNamedBy));
  return {
    chains: rowsFrom(indexed, 'chain', chainSchema),
    rows,
    documents: await readDocuments(client, [...hashes]),
  };
}

function rowsFrom<Row>(all: readonly Sourced[], source: Sourced['source'], schema: z.ZodType<Row>): Row[] {
  return parseRows(
    schema,
    all.filter((one) => one.source === source).map(({ row }) => withBytes(row)),
  );
}

/** Tables with a partition for each month; the others have one for each year. */
const isMonthly = (table: JobTable) => table === 'event' || table === 'record';

/** How the rows of a job are found in a table, by its place `n`. */
const found: Readonly<Record<JobTable, string>> = {
  event: "t.period = n.period AND t.stream = 'job/' || n.job_id",
  record: 't.period = n.period AND t.job_id = n.job_id',
  job: 't.job_id = n.job_id',
  job_end: 't.job_id = n.job_id',
  capture: 't.job_id = n.job_id',
};

/** One question for the places and all that is found by year: each way to the server and back costs as much as rows. */
function indexSql({ located, tables }: WantedJobs): string {
  return `
  WITH located AS MATERIALIZED (
    ${located}
  ), place AS MATERIALIZED (
    -- A job may go on in each branch of its station that begins behind its opening.
    SELECT DISTINCT c.chain_id, l.period, l.job_id FROM located l JOIN bandwright.chain c USING (station_id)
  )
  SELECT 'chain' AS source, to_json(f) AS row FROM (
    SELECT ${chainSelect} FROM bandwright.chain c JOIN bandwright.chain_head h USING (chain_id)
    WHERE c.chain_id IN (SELECT chain_id FROM place) ORDER BY c.chain_id
  ) AS f
  UNION ALL SELECT 'place', to_json(n) FROM place n
  ${tables
    .filter((table) => !isMonthly(table))
    .map((table) => `UNION ALL ${rowsSql(table)}`)
    .join('\n  ')}`;
}

/**
 * Events and records of jobs. The months stand in the text of the question, so that the server opens their partitions
 * and no other; what it has planned for one month it keeps.
 */
function readMonths(
  client: SiteClient,
  tables: readonly JobTable[],
  places: readonly Place[],
): Promise<Sourced[]> {
  if (tables.length === 0 || places.length === 0) return Promise.resolve([]);
  const months = [...new Set(places.map(({ period }) => period))].sort();
  const inMonths = ` AND t.period IN (${months.map((month) => `'${month}'`).join(', ')})`;
  return querySite(
    client,
    sourcedSchema,
    `WITH place AS MATERIALIZED (
      SELECT * FROM unnest($1::integer[], $2::date[], $3::text[]) AS p (chain_id, period, job_id)
    ) ${tables.map((table) => rowsSql(table, inMonths)).join(' UNION ALL ')}`,
    [
      places.map(({ chain_id }) => chain_id),
      places.map(({ period }) => period),
      places.map(({ job_id }) => job_id),
    ],
    months.length === 1 ? `${tables.join(' ')} ${months[0]}` : undefined,
  );
}

/** The rows of each place `n`. */
function rowsSql(table: JobTable, condition = ''): string {
  return `SELECT '${table}' AS source, to_json(f) AS row FROM place n, LATERAL (
    SELECT chain_id, ${chainTables[table].select} FROM bandwright.${table} t
    WHERE t.chain_id = n.chain_id AND ${found[table]}${condition}
  ) AS f`;
}

/** The period goes into the text of a question: it is a day and nothing else. */
const placeSchema = z.object({ chain_id: z.int(), period: z.iso.date(), job_id: z.string() });
type Place = z.infer<typeof placeSchema>;

/** What is in a row, the schema of its table says. */
const sourcedSchema = z.object({
  source: z.enum(['chain', 'place', ...jobTables]),
  row: z.custom<Readonly<Record<string, unknown>>>((row) => typeof row === 'object' && row !== null),
});
type Sourced = z.infer<typeof sourcedSchema>;

const rowSchemas = Object.fromEntries(
  jobTables.map((table) => [table, chainTables[table].schema.extend({ chain_id: z.int() })]),
) as unknown as Readonly<Record<JobTable, z.ZodType<RowOfChain>>>;

/** Columns of bytes come within JSON as `\\x` and hexadecimal digits. */
const byteColumns = ['hash', 'previous_hash', 'signature', 'link'] as const;

function withBytes(row: Readonly<Record<string, unknown>>): Readonly<Record<string, unknown>> {
  const read = { ...row };
  for (const name of byteColumns) {
    const text = row[name];
    if (typeof text === 'string') read[name] = Buffer.from(text.slice(2), 'hex');
  }
  return read;
}

/** Whether the event was altered, its visit says: here it only names what is fetched. */
function documentsNamedBy({ sequence, stream, version, kind, at, body }: RowOfChain): readonly string[] {
  try {
    return jobEvidence.documentsOf({
      ...{ sequence, personId: null, previousHash: '', hash: '', body: JSON.parse(String(body)) },
      ...{ stream: String(stream), version: Number(version), kind: String(kind), at: String(at) },
    });
  } catch {
    return [];
  }
}
