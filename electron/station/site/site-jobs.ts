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

/**
 * The same jobs with the streams of the people and lots that they name: whoever shows them has names for them.
 *
 * @throws SiteFault
 */
export async function withNames(client: SiteClient, jobs: SiteJobs): Promise<SiteJobs> {
  const streams = new Set((jobs.rows.event ?? []).flatMap(streamsNamedBy));
  const named = await querySite(
    client,
    rowSchemas.event,
    `SELECT chain_id, ${chainTables.event.select} FROM bandwright.event
     WHERE chain_id = ANY ($1::integer[]) AND stream = ANY ($2::text[])`,
    [jobs.chains.map(({ chain_id }) => chain_id), [...streams]],
    'streams',
  );
  return { ...jobs, rows: { ...jobs.rows, event: [...(jobs.rows.event ?? []), ...named] } };
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

/**
 * Fetches jobs with two questions.
 *
 * @throws SiteFault
 */
export async function fetchJobs(client: SiteClient, wanted: WantedJobs): Promise<SiteJobs> {
  const all = await querySite(client, sourcedSchema, jobsSql(wanted), wanted.values, wanted.name);
  const rowsOf = <Row>(source: JobTable | 'chain', schema: z.ZodType<Row>): Row[] =>
    parseRows(
      schema,
      all.filter((one) => one.source === source).map(({ row }) => withBytes(row)),
    );
  const chains = rowsOf('chain', chainSchema);
  const rows = Object.fromEntries(wanted.tables.map((table) => [table, rowsOf(table, rowSchemas[table])]));
  const hashes = new Set((rows.event ?? []).flatMap(documentsNamedBy));
  return { chains, rows, documents: await readDocuments(client, [...hashes]) };
}

/** How the rows of a job are found in a table, by its place `n`. */
const found: Readonly<Record<JobTable, string>> = {
  event: "t.period = n.period AND t.stream = 'job/' || n.job_id",
  record: 't.period = n.period AND t.job_id = n.job_id',
  job: 't.job_id = n.job_id',
  job_end: 't.job_id = n.job_id',
  capture: 't.job_id = n.job_id',
};

/** One question for everything: each way to the server and back would cost more than the rows. */
function jobsSql({ located, tables }: WantedJobs): string {
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
  ${tables
    .map(
      (table) => `UNION ALL SELECT '${table}', to_json(f) FROM place n,
    LATERAL (SELECT chain_id, ${chainTables[table].select} FROM bandwright.${table} t WHERE t.chain_id = n.chain_id AND ${found[table]}) AS f`,
    )
    .join('\n  ')}`;
}

/** What is in a row, the schema of its table says. */
const sourcedSchema = z.object({
  source: z.enum(['chain', ...jobTables]),
  row: z.custom<Readonly<Record<string, unknown>>>((row) => typeof row === 'object' && row !== null),
});

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
