import { z } from 'zod';
import type { CaptureFilter } from '../store/filters.ts';
import { bigintColumn } from './bigint-column.ts';
import type { SiteClient } from './site-client.ts';
import { querySite } from './site-rows.ts';

const readingSchema = z.object({
  /** As the server writes it, to go on behind it. */
  at: z.string(),
  chainId: z.int(),
  sequence: bigintColumn,
  stationId: z.string(),
  jobId: z.string(),
  serial: z.string(),
});
/** A captured reading as the index of the site has it. */
export type SiteReading = z.infer<typeof readingSchema>;

/** Which captured readings of the site. */
export interface SiteReadingFilter extends CaptureFilter {
  /**
   * Readings of one instrument: at this station all, since its register knows it; elsewhere those that were taken with
   * one of its certificates, since its name alone may be that of another instrument there.
   */
  readonly knownAt?:
    | { readonly stationId: string; readonly certificateHashes: readonly string[] }
    | undefined;
}

/** Captured readings at all benches. Everything that is asked must hold; the time is that of the reading. */
export interface SiteReadings {
  count(): Promise<number>;
  /** The next ones in the order of time, behind another. */
  next(after: SiteReading | null, limit: number): Promise<readonly SiteReading[]>;
}

/** Readings that meet a filter. Ask within one transaction that sees one moment, beside stations that push. */
export function siteReadings(client: SiteClient, filter: SiteReadingFilter): SiteReadings {
  const { where, values } = readingCondition(filter);
  const source = 'bandwright.capture c JOIN bandwright.chain ch USING (chain_id)';
  const place = '(c.at, c.chain_id, c.sequence)';
  return {
    async count() {
      const text = `SELECT count(*) AS count FROM ${source} WHERE ${where}`;
      const [row] = await querySite(client, z.object({ count: bigintColumn }), text, values);
      return row?.count ?? 0;
    },
    next(after, limit) {
      const behind = after === null ? [] : [after.at, after.chainId, after.sequence];
      const n = values.length;
      const further = after === null ? '' : ` AND ${place} > ($${n + 1}::timestamptz, $${n + 2}, $${n + 3})`;
      return querySite(
        client,
        readingSchema,
        `SELECT c.at::text AS at, c.chain_id AS "chainId", c.sequence, ch.station_id AS "stationId", c.job_id AS "jobId", c.serial
         FROM ${source} WHERE ${where}${further} ORDER BY c.at, c.chain_id, c.sequence LIMIT ${limit}`,
        [...values, ...behind],
      );
    },
  };
}

/** What is asked of a reading, `c` in the index and `ch` its chain. */
export function readingCondition(filter: SiteReadingFilter): {
  readonly where: string;
  readonly values: readonly unknown[];
} {
  const asked: readonly (readonly [condition: string, value: string | undefined])[] = [
    ['c.serial =', filter.serial],
    ['c.head_id =', filter.headId],
    ['c.person_id =', filter.personId],
    ['c.instrument_id =', filter.instrumentId],
    ['c.certificate_hash =', filter.certificateHash],
    ['c.decision =', filter.decision],
    ['c.quantity =', filter.quantity],
    ['c.at >=', filter.from],
    ['c.at <', filter.until],
  ];
  const given = asked.filter(([, value]) => value !== undefined);
  const values: unknown[] = given.map(([, value]) => value);
  const conditions = given.map(([condition], index) => `${condition} $${index + 1}`);
  if (filter.lotId !== undefined) {
    values.push(filter.lotId);
    conditions.push(`EXISTS (SELECT 1 FROM bandwright.consumption u JOIN bandwright.chain uc USING (chain_id)
      WHERE u.lot_id = $${values.length} AND u.job_id = c.job_id AND uc.station_id = ch.station_id)`);
  }
  if (filter.knownAt !== undefined) {
    const { stationId, certificateHashes } = filter.knownAt;
    values.push(stationId, certificateHashes);
    conditions.push(
      `(ch.station_id = $${values.length - 1} OR c.certificate_hash = ANY ($${values.length}::text[]))`,
    );
  }
  return { where: conditions.length === 0 ? 'true' : conditions.join(' AND '), values };
}
