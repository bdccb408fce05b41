import type { SiteClient } from './site-client.ts';

/** The version of the schema that this program works with: one for each step of `schema/`. */
export const siteSchemaVersion = 3;

/** The version of the schema that a site store has; 0 for none. */
export async function schemaVersionOf(client: SiteClient): Promise<number> {
  const { rows } = await client.query<{ version: number }>(
    'SELECT coalesce(max(version), 0) AS version FROM bandwright.migration',
  );
  return rows[0]?.version ?? 0;
}
