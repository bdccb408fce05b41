import { z } from 'zod';
import type { CaptureFilter } from '../store/filters.ts';
import type { SiteClient } from './site-client.ts';
import { querySite } from './site-rows.ts';

const hitSchema = z.object({
  /** The chain in which the job was opened. */
  chainId: z.int(),
  benchId: z.string(),
  stationId: z.string(),
  branch: z.int(),
  jobId: z.string(),
  serial: z.string(),
  headId: z.string(),
  personId: z.string().nullable(),
  openedAt: z.date().transform((at) => at.toISOString()),
  phase: z.string().nullable(),
});
/** A job that meets a filter, and where it was. */
export type SiteHit = z.infer<typeof hitSchema>;

/**
 * Jobs at all benches that meet a filter, newest first: one and the same reading of the job meets all that is asked of
 * readings; the person opened the job or took a reading in it; it was opened in that time. Somewhat more than `limit`
 * where several were opened at the same instant: a page ends between two instants.
 *
 * @param openedBefore ISO 8601: where the page before ended
 * @throws SiteFault
 */
export function searchSite(
  client: SiteClient,
  filter: CaptureFilter,
  limit: number,
  openedBefore?: string,
): Promise<SiteHit[]> {
  const values: unknown[] = [];
  const test = (column: string, comparison: string, value: string | undefined): string[] => {
    if (value === undefined) return [];
    values.push(value);
    return [`${column} ${comparison} $${values.length}`];
  };
  const { serial, headId, personId, instrumentId, certificateHash, decision, quantity, lotId, from, until } =
    filter;
  const ofReading = [
    ...test('c.instrument_id', '=', instrumentId),
    ...test('c.certificate_hash', '=', certificateHash),
    ...test('c.decision', '=', decision),
    ...test('c.quantity', '=', quantity),
  ];
  const ofLot = test('u.lot_id', '=', lotId);
  const byPerson = test('j.person_id', '=', personId);
  const conditions = [
    ...test('j.serial', '=', serial),
    ...test('j.head_id', '=', headId),
    ...test('j.opened_at', '>=', from),
    ...test('j.opened_at', '<', until),
    ...test('j.opened_at', '<', openedBefore),
    ...byPerson.map((own) => `(${own} OR ${existsIn('capture', 'c', [own.replace('j.', 'c.')])})`),
    ...(ofReading.length === 0 ? [] : [existsIn('capture', 'c', ofReading)]),
    ...(ofLot.length === 0 ? [] : [existsIn('consumption', 'u', ofLot)]),
  ];
  values.push(limit);
  return querySite(
    client,
    hitSchema,
    `SELECT j.chain_id AS "chainId", ch.bench_id AS "benchId", ch.station_id AS "stationId", ch.branch, j.job_id AS "jobId", j.serial,
       j.head_id AS "headId", j.person_id AS "personId", j.opened_at AS "openedAt",
       (SELECT e.phase FROM bandwright.job_end e WHERE e.job_id = j.job_id AND ${sameStation('e')}
        ORDER BY e.sequence DESC LIMIT 1) AS phase
     FROM bandwright.job j JOIN bandwright.chain ch USING (chain_id)
     WHERE ${conditions.length === 0 ? 'true' : conditions.join(' AND ')} 
     ORDER BY j.opened_at DESC FETCH FIRST ($${values.length}) ROWS WITH TIES`,
    values,
  );
}

/** A job may have been opened in one branch and gone on in the next. */
function sameStation(name: string): string {
  return `${name}.chain_id IN (SELECT b.chain_id FROM bandwright.chain b WHERE b.station_id = ch.station_id)`;
}

function existsIn(table: string, name: string, conditions: readonly string[]): string {
  const all = [`${name}.job_id = j.job_id`, sameStation(name), ...conditions];
  return `EXISTS (SELECT 1 FROM bandwright.${table} ${name} WHERE ${all.join(' AND ')})`;
}
