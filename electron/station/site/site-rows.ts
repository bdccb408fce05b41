import { z } from 'zod';
import { eventColumns, eventRowSchema } from '../store/event-row.ts';
import { bigintColumn } from './bigint-column.ts';
import { sealRowSchema } from './local-chain.ts';
import type { SiteClient } from './site-client.ts';
import { SiteFault, withSiteFaults } from './site-fault.ts';

const bytes = z.instanceof(Uint8Array);

/** Columns of each table as a station has them, in its order, and what is made of them on the way. */
const instant = (column: string) =>
  `to_char(${column} AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') AS ${column}`;

/** The tables of a station that a chain at the site has rows of. */
export const chainTables = {
  event: {
    select: eventColumns,
    schema: eventRowSchema.extend({ sequence: bigintColumn }),
  },
  seal: {
    select: 'sequence, stream, key_id, signature, link',
    schema: sealRowSchema.extend({ sequence: bigintColumn }),
  },
  record: {
    select: 'sequence, job_id, revision, serial, body, hash, key_id, signature',
    schema: z.object({
      sequence: bigintColumn,
      job_id: z.string(),
      revision: z.int(),
      serial: z.string(),
      body: z.string(),
      hash: bytes,
      key_id: z.string(),
      signature: bytes,
    }),
  },
  job: {
    select: `job_id, serial, head_id, person_id, ${instant('opened_at')}, sequence`,
    schema: z.object({
      job_id: z.string(),
      serial: z.string(),
      head_id: z.string(),
      person_id: z.string().nullable(),
      opened_at: z.string(),
      sequence: bigintColumn,
    }),
  },
  job_end: {
    select: `sequence, job_id, phase, ${instant('at')}`,
    schema: z.object({ sequence: bigintColumn, job_id: z.string(), phase: z.string(), at: z.string() }),
  },
  capture: {
    select: `sequence, capture_id, job_id, serial, head_id, step_id, quantity, instrument_id, certificate_hash, decision, person_id, ${instant('at')}`,
    schema: z.object({
      sequence: bigintColumn,
      capture_id: z.string(),
      job_id: z.string(),
      serial: z.string(),
      head_id: z.string(),
      step_id: z.string(),
      quantity: z.string(),
      instrument_id: z.string(),
      certificate_hash: z.string().nullable(),
      decision: z.string().nullable(),
      person_id: z.string().nullable(),
      at: z.string(),
    }),
  },
  consumption: {
    select: `sequence, lot_id, job_id, ${instant('at')}`,
    schema: z.object({ sequence: bigintColumn, lot_id: z.string(), job_id: z.string(), at: z.string() }),
  },
} as const;
export type ChainTable = keyof typeof chainTables;

export const documentSchema = z.object({ hash: bytes, kind: z.string(), body: z.string() });

/** A row as it is written into a station's table: values by column. */
export type ChainRow = Readonly<Record<string, string | number | Uint8Array | null>>;

/**
 * Rows of the site, each as its schema says.
 *
 * @param name of a question that is asked again and again: the server plans it once for each connection
 * @throws SiteFault when a row is not as its schema says
 */
export async function querySite<Row>(
  client: SiteClient,
  schema: z.ZodType<Row>,
  text: string,
  values: readonly unknown[] = [],
  name?: string,
): Promise<Row[]> {
  const query = { text, values: [...values], ...(name === undefined ? {} : { name }) };
  const { rows } = await withSiteFaults(() => client.query(query));
  return parseRows(schema, rows);
}

export function parseRows<Row>(schema: z.ZodType<Row>, rows: readonly unknown[]): Row[] {
  const parsed = z.array(schema).safeParse(rows);
  if (parsed.success) return parsed.data;
  throw new SiteFault('other_schema', 'the site store holds a row that this program does not know', {
    cause: parsed.error,
  });
}

export const chainSchema = z.object({
  chain_id: z.int(),
  bench_id: z.string(),
  station_id: z.string(),
  branch: z.int(),
  parent_chain_id: z.int().nullable(),
  forked_after: bigintColumn,
  sequence: bigintColumn,
  hash: bytes,
  received_at: z.coerce.date(),
});
/** A chain of a station, or a branch of one, and how far the site has it. */
export type SiteChain = z.infer<typeof chainSchema>;

export const chainSelect =
  'c.chain_id, c.bench_id, c.station_id, c.branch, c.parent_chain_id, c.forked_after, h.sequence, h.hash, h.received_at';

/** All chains of one station, or of all, in the order in which they began. */
export function readChains(client: SiteClient, stationIds: readonly string[] | null): Promise<SiteChain[]> {
  return querySite(
    client,
    chainSchema,
    `SELECT ${chainSelect}
     FROM bandwright.chain c JOIN bandwright.chain_head h USING (chain_id)
     WHERE $1::text[] IS NULL OR c.station_id = ANY ($1::text[]) ORDER BY c.chain_id`,
    [stationIds],
    'chains',
  );
}

/** A stretch of a chain: the events of `chainId` behind `after` up to `upTo`. */
export interface Stretch {
  readonly chainId: number;
  readonly after: number;
  readonly upTo: number;
}

/** The stretches that make a branch whole, its beginning first. */
export function stretchesOf(chains: readonly SiteChain[], branch: SiteChain): readonly Stretch[] {
  const stretches: Stretch[] = [];
  let upTo = branch.sequence;
  for (let chain: SiteChain | undefined = branch; chain !== undefined; ) {
    stretches.unshift({ chainId: chain.chain_id, after: chain.forked_after, upTo });
    upTo = Math.min(upTo, chain.forked_after);
    const parent: number | null = chain.parent_chain_id;
    chain = chains.find(({ chain_id }) => chain_id === parent);
  }
  return stretches;
}
