import { z } from 'zod';
import type { SearchChoicesView } from '../../../../shared/audit/view.ts';
import { hashSchema } from '../../../../shared/identifier.ts';
import { ok, type Result } from '../../../../shared/result.ts';
import { onlyCertificate } from '../../audit/evidence-filter.ts';
import type { SiteClient } from '../site-client.ts';
import { querySite } from '../site-rows.ts';

const most = 300;
const valueSchema = z.object({ value: z.string() });
const namedSchema = valueSchema.extend({ name: z.string().nullable() });
const certificateSchema = z.object({ hash: z.string(), number: z.string() });

/**
 * What can be asked for at the site, cut off after some hundred of each kind.
 *
 * @throws SiteFault
 */
export async function siteChoices(client: SiteClient): Promise<SearchChoicesView> {
  const distinct = (table: string, column: string) =>
    querySite(client, valueSchema, `${distinctSql(table, column)} LIMIT ${most}`).then((rows) =>
      rows.map(({ value }) => value),
    );
  const heads = await distinct('job', 'head_id');
  const lots = await distinct('consumption', 'lot_id');
  const people = await querySite(client, namedSchema, namedSql('job', 'person_id', personName));
  const instruments = await querySite(
    client,
    namedSchema,
    namedSql('capture', 'instrument_id', instrumentName),
  );
  const certificates = await querySite(
    client,
    certificateSchema,
    `SELECT encode(hash, 'hex') AS hash, body::json ->> 'number' AS number FROM bandwright.document
     WHERE kind = 'certificate' AND body::json ->> 'number' IS NOT NULL LIMIT ${most}`,
  );
  return {
    heads,
    lots,
    people: people.map(({ value, name }) => ({ personId: value, name: name ?? value })),
    instruments: instruments.map(({ value, name }) => ({ instrumentId: value, name: name ?? value })),
    certificates,
  };
}

/** Values of an indexed column, by jumping from one to the next: `SELECT DISTINCT` would read the whole index. */
function distinctSql(table: string, column: string): string {
  const source = `bandwright.${table}`;
  return `WITH RECURSIVE one (value) AS (
    SELECT min(${column}) FROM ${source}
    UNION ALL
    SELECT (SELECT min(${column}) FROM ${source} WHERE ${column} > one.value) FROM one WHERE one.value IS NOT NULL
  ) SELECT value FROM one WHERE value IS NOT NULL`;
}

/** How a person or an instrument is called in the chain that has one of its rows. */
interface NameSource {
  readonly stream: string;
  readonly kind: string;
  /** Of the JSON of the event. */
  readonly path: string;
}

const personName: NameSource = { stream: 'person/', kind: 'personAdded', path: '{name}' };
const instrumentName: NameSource = {
  stream: 'instrument/',
  kind: 'instrumentRegistered',
  path: '{entry,name}',
};

function namedSql(table: string, column: string, { stream, kind, path }: NameSource): string {
  return `SELECT v.value, (
      SELECT e.body::json #>> '${path}' FROM bandwright.event e
      WHERE e.chain_id IN (
          SELECT o.chain_id FROM bandwright.chain o JOIN bandwright.chain c USING (station_id)
          WHERE c.chain_id = (SELECT t.chain_id FROM bandwright.${table} t WHERE t.${column} = v.value LIMIT 1))
        AND e.stream = '${stream}' || v.value AND e.kind = '${kind}'
      ORDER BY e.sequence DESC LIMIT 1
    ) AS name FROM (${distinctSql(table, column)} LIMIT ${most}) AS v`;
}

/**
 * The hash of a certificate by its number. Refuses a number that the site has not, or that several have.
 *
 * @throws SiteFault
 */
export async function certificateHash(client: SiteClient, certificate: string): Promise<Result<string>> {
  if (hashSchema.safeParse(certificate).success) return ok(certificate);
  const found = await querySite(
    client,
    z.object({ hash: z.string() }),
    `SELECT encode(hash, 'hex') AS hash FROM bandwright.document
     WHERE kind = 'certificate' AND body::json ->> 'number' = $1 LIMIT 9`,
    [certificate],
  );
  return onlyCertificate(
    certificate,
    found.map(({ hash }) => hash),
  );
}
