import pg from 'pg';
import type { SiteAccess } from './site-access.ts';
import { withSiteFaults } from './site-fault.ts';

/** A connection to the site store. */
export type SiteClient = pg.Client;

export interface SiteClientOptions {
  /** Ends a statement that takes longer, in milliseconds. */
  readonly statementMs?: number;
  /** The server refuses everything that would write, whatever the login may do. */
  readonly readOnly?: boolean;
}

const connectMs = 10_000;
const usualStatementMs = 120_000;

/**
 * Connects to the site store. Close it with `end()`.
 *
 * @throws SiteFault
 */
export async function connectSite(access: SiteAccess, options: SiteClientOptions = {}): Promise<SiteClient> {
  const { host, port, login, database, password, tls } = access;
  const statementMs = options.statementMs ?? usualStatementMs;
  const client = new pg.Client({
    ...{ host, port, user: login, database, application_name: 'bandwright' },
    // The driver would look into the environment and the user's password file otherwise.
    password: password ?? '',
    // The name is checked against the certificate, also where it is an address.
    ssl:
      tls === false
        ? false
        : { rejectUnauthorized: true, host, ...(tls.authority === undefined ? {} : { ca: tls.authority }) },
    connectionTimeoutMillis: connectMs,
    statement_timeout: statementMs,
    ...(options.readOnly === true ? { options: '-c default_transaction_read_only=on' } : {}),
    // A server that went away without a word answers nothing: the driver gives up by itself.
    query_timeout: statementMs + 5000,
    keepAlive: true,
  });
  // A connection that is cut between two statements: the next statement says so.
  client.on('error', () => undefined);
  await withSiteFaults(() => client.connect());
  return client;
}
