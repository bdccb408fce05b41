import { z } from 'zod';
import { type Publication, publicationSchema } from '../../../shared/site/publication.ts';
import { bigintColumn } from './bigint-column.ts';
import type { ChainPiece } from './local-chain.ts';
import type { SiteAccess } from './site-access.ts';
import { connectSite } from './site-client.ts';
import { SiteFault, withSiteFaults } from './site-fault.ts';

const positionStates = ['new', 'known', 'settled', 'another_chain', 'not_yours', 'no_bench'] as const;

const hashSchema = z.instanceof(Uint8Array).transform((hash) => Buffer.from(hash).toString('hex'));
const positionSchema = z.object({
  state: z.enum(positionStates),
  sequence: bigintColumn,
  hash: hashSchema.nullable(),
  branch: bigintColumn,
});
/** How far the site has the station's chain; see chain_position in schema/0002-push.sql. */
export type SitePosition = z.infer<typeof positionSchema>;

const answerSchema = z.object({
  accepted: z.boolean(),
  sequence: bigintColumn,
  reason: z.string().nullable(),
  detail: z.string().nullable(),
});

/** What the site says to a push: how far its chain goes now, or why it does not take it. */
export type PushAnswer =
  | { readonly accepted: true; readonly sequence: number }
  | { readonly accepted: false; readonly reason: string; readonly detail: string };

/** What a bench may ask of the site store. Every method throws SiteFault where the site or the way to it is at fault. */
export interface SiteSession {
  position(stationId: string): Promise<SitePosition>;
  /** The hash that the site has at a place of the station's newest branch. */
  hashAt(stationId: string, sequence: number): Promise<string | undefined>;
  /** In the site's database when it resolves. May be repeated. */
  push(stationId: string, piece: ChainPiece): Promise<PushAnswer>;
  /** What the site published behind a number, in order; whether it is to be believed, the signatures say. */
  publishedSince(number: number, atMost: number): Promise<readonly Publication[]>;
  close(): Promise<void>;
}

const pushSql = `SELECT * FROM bandwright.push($1::text,
  $2::bigint[], $3::text[], $4::integer[], $5::text[], $6::text[], $7::text[], $8::text[], $9::bytea[], $10::bytea[],
  $11::bigint[], $12::text[], $13::text[], $14::bytea[], $15::bytea[], $16::text[], $17::text[])`;

const publicationRowSchema = z.object({
  number: bigintColumn,
  previous_hash: z.instanceof(Uint8Array),
  revision: z.int(),
  content: z.string(),
  key_id: z.string(),
  signature: z.instanceof(Uint8Array),
});

/** A row of the table `publication` as it was signed. @throws SiteFault for one that this program does not know */
export function publicationOfRow(row: unknown): Publication {
  try {
    const { number, previous_hash, revision, content, key_id, signature } = publicationRowSchema.parse(row);
    return publicationSchema.parse({
      ...{ number, revision, content: JSON.parse(content), keyId: key_id },
      previousHash: Buffer.from(previous_hash).toString('hex'),
      signature: Buffer.from(signature).toString('base64'),
    });
  } catch (error) {
    throw new SiteFault(
      'other_schema',
      'the site published something that this program does not know; update it',
      { cause: error },
    );
  }
}

/** @throws SiteFault */
export async function openSiteSession(access: SiteAccess): Promise<SiteSession> {
  const client = await connectSite(access);

  async function oneRow<Row>(schema: z.ZodType<Row>, text: string, values: unknown[]): Promise<Row> {
    const { rows } = await withSiteFaults(() =>
      client.query({ text, values, ...(text === pushSql ? { name: 'push' } : {}) }),
    );
    const parsed = schema.safeParse(rows[0]);
    if (parsed.success) return parsed.data;
    throw new SiteFault('other_schema', 'the site store answers in words that this program does not know', {
      cause: parsed.error,
    });
  }

  return {
    position: (stationId) =>
      oneRow(positionSchema, 'SELECT * FROM bandwright.chain_position($1)', [stationId]),
    async hashAt(stationId, sequence) {
      const row = await oneRow(
        z.object({ hash: hashSchema.nullable() }),
        'SELECT bandwright.hash_at($1, $2) AS hash',
        [stationId, sequence],
      );
      return row.hash ?? undefined;
    },
    async push(stationId, { events, seals, documents, records }) {
      const answer = await oneRow(answerSchema, pushSql, [
        stationId,
        ...eventArrays(events),
        ...sealArrays(seals),
        documents,
        records,
      ]);
      if (answer.accepted) return { accepted: true, sequence: answer.sequence };
      return { accepted: false, reason: answer.reason ?? 'malformed', detail: answer.detail ?? '' };
    },
    async publishedSince(number, atMost) {
      const { rows } = await withSiteFaults(() =>
        client.query('SELECT * FROM bandwright.published_since($1, $2)', [number, atMost]),
      );
      return rows.map(publicationOfRow);
    },
    close: () => client.end().catch(() => undefined),
  };
}

/** The columns of events as arrays, in the order of the table: one parameter each for `unnest`. */
export function eventArrays(events: ChainPiece['events']): unknown[][] {
  return [
    events.map(({ sequence }) => sequence),
    events.map(({ stream }) => stream),
    events.map(({ version }) => version),
    events.map(({ kind }) => kind),
    events.map(({ at }) => at),
    events.map(({ person_id }) => person_id),
    events.map(({ body }) => body),
    events.map(({ previous_hash }) => previous_hash),
    events.map(({ hash }) => hash),
  ];
}

/** The same for seals. */
export function sealArrays(seals: ChainPiece['seals']): unknown[][] {
  return [
    seals.map(({ sequence }) => sequence),
    seals.map(({ stream }) => stream),
    seals.map(({ key_id }) => key_id),
    seals.map(({ signature }) => signature),
    seals.map(({ link }) => link),
  ];
}
