import { readFileSync } from 'node:fs';
import { schemaVersionOf, type siteSchemaVersion } from './schema-version.ts';
import type { SiteClient } from './site-client.ts';
import { SiteFault, withSiteFaults } from './site-fault.ts';

/** Every step of the schema in order. Steps are never edited once released; a change is a new step. */
const steps = [
  new URL('./schema/0001-evidence.sql', import.meta.url),
  new URL('./schema/0002-push.sql', import.meta.url),
  new URL('./schema/0003-publications.sql', import.meta.url),
] as const satisfies { readonly length: typeof siteSchemaVersion };

/** Roles without a login. A login of a bench, an auditor or a publisher is a member of one of them. */
const roles = ['bandwright_owner', 'bandwright_bench', 'bandwright_auditor', 'bandwright_publisher'] as const;

export interface SiteSetUp {
  /** Version of the schema before; 0 in an empty database. */
  readonly from: number;
  readonly to: number;
  readonly partitions: number;
}

/**
 * Makes the site store in a database, or brings its schema up to date, and makes the partitions that are missing. May
 * be repeated; do so every year at least.
 *
 * @param client of a login that may make roles and use this database as its owner
 * @param fromDay `YYYY-MM-DD`: how far back evidence is expected
 * @param untilDay how far ahead partitions are made
 * @throws SiteFault
 */
export function setUpSite(client: SiteClient, fromDay: string, untilDay: string): Promise<SiteSetUp> {
  return withSiteFaults(async () => {
    await client.query('BEGIN');
    try {
      // Two people at once: one waits.
      await client.query("SELECT pg_advisory_xact_lock(hashtext('bandwright site set-up'))");
      for (const role of roles) await createRole(client, role);
      await client.query('GRANT bandwright_owner TO CURRENT_USER');
      const { rows } = await client.query<{ name: string }>('SELECT quote_ident(current_database()) AS name');
      await client.query(`GRANT CREATE ON DATABASE ${rows[0]?.name} TO bandwright_owner`);
      await client.query('SET LOCAL ROLE bandwright_owner');
      await client.query('CREATE SCHEMA IF NOT EXISTS bandwright');
      await client.query('SET LOCAL search_path = bandwright, pg_temp');
      await client.query(
        'CREATE TABLE IF NOT EXISTS migration (version integer PRIMARY KEY, applied_at timestamptz NOT NULL DEFAULT now())',
      );
      const from = await schemaVersionOf(client);
      if (from > steps.length) throw new SiteFault('other_schema', newerSentence(from));
      for (const [index, step] of steps.entries()) {
        if (index < from) continue;
        await client.query(readFileSync(step, 'utf8'));
        await client.query('INSERT INTO migration (version) VALUES ($1)', [index + 1]);
      }
      const made = await client.query<{ made: number }>('SELECT extend_periods($1::date, $2::date) AS made', [
        fromDay,
        untilDay,
      ]);
      await client.query('COMMIT');
      return { from, to: steps.length, partitions: made.rows[0]?.made ?? 0 };
    } catch (error) {
      await client.query('ROLLBACK').catch(() => undefined);
      throw error;
    }
  });
}

/**
 * Lets a bench push: makes its login, or gives an existing one that right.
 *
 * @param login a name of PostgreSQL
 * @param password for a login that is made
 */
export function addBench(
  client: SiteClient,
  benchId: string,
  login: string,
  password: string,
): Promise<void> {
  return addLogin(client, login, password, 'bandwright_bench', async () => {
    await client.query('INSERT INTO bandwright.bench (bench_id, login) VALUES ($1, $2)', [benchId, login]);
  });
}

/** Makes a login that reads everything (`auditor`) or publishes (`publisher`). */
export function addReader(
  client: SiteClient,
  login: string,
  password: string,
  as: 'auditor' | 'publisher',
): Promise<void> {
  return addLogin(client, login, password, `bandwright_${as}`, async () => undefined);
}

function addLogin(
  client: SiteClient,
  login: string,
  password: string,
  role: string,
  more: () => Promise<void>,
): Promise<void> {
  return withSiteFaults(async () => {
    await client.query('BEGIN');
    try {
      const name = client.escapeIdentifier(login);
      await client.query(`CREATE ROLE ${name} LOGIN PASSWORD ${client.escapeLiteral(password)}`);
      await client.query(`GRANT ${role} TO ${name}`);
      await client.query('SET LOCAL ROLE bandwright_owner');
      await more();
      await client.query('COMMIT');
    } catch (error) {
      await client.query('ROLLBACK').catch(() => undefined);
      throw error;
    }
  });
}

async function createRole(client: SiteClient, role: string): Promise<void> {
  const { rowCount } = await client.query('SELECT 1 FROM pg_roles WHERE rolname = $1', [role]);
  if (rowCount === 0) await client.query(`CREATE ROLE ${role} NOLOGIN`);
}

function newerSentence(version: number): string {
  return `the site store was made by a newer version (schema ${version}, this program knows ${steps.length}); use that version`;
}
