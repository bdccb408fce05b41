import { mkdirSync } from 'node:fs';
import type { z } from 'zod';
import { openDatabase } from '../store/database.ts';
import { writeHead } from '../store/head-file.ts';
import { readHeadFromSeals } from '../store/seal-row.ts';
import type { Database } from '../store/sqlite.ts';
import type { SiteClient } from './site-client.ts';
import { withSiteFaults } from './site-fault.ts';
import {
  type ChainRow,
  type ChainTable,
  chainTables,
  documentSchema,
  parseRows,
  querySite,
  type SiteChain,
  type Stretch,
  stretchesOf,
} from './site-rows.ts';

const fetched = 1000;

/** How the copying of a chain is watched and stopped. */
export interface CopyRun {
  /** Events that are there, of how many. */
  readonly onProgress?: ((progress: { readonly done: number; readonly total: number }) => void) | undefined;
  readonly signal?: AbortSignal | undefined;
}

/**
 * Writes the chain of a station, as the site has it, into a data folder, so that all that reads and checks the
 * evidence of a station reads and checks it too. Rows are taken as they are, whatever they are: what is wrong with
 * them is for `verify` to say.
 *
 * @param folder an empty one; the copy has no signing key
 * @returns false where `signal` stopped it; the folder holds a part then
 * @throws SiteFault, StoreFault
 */
export async function copyChain(
  client: SiteClient,
  chains: readonly SiteChain[],
  branch: SiteChain,
  folder: string,
  run: CopyRun = {},
): Promise<boolean> {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const database = openDatabase(folder, 1000);
  try {
    database.pragma('synchronous = OFF');
    const putBack = withoutGuards(database);
    const stretches = stretchesOf(chains, branch);
    // All tables as of one moment, beside stations that push.
    await withSiteFaults(() => client.query('BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY'));
    try {
      const documents = new Set<string>();
      let done = 0;
      for (const table of Object.keys(chainTables) as ChainTable[]) {
        for (const stretch of stretches) {
          await copyTable(client, database, { table, stretch, signal: run.signal }, (row) => {
            if (table === 'event') done += 1;
            if (table === 'event' && done % fetched === 0) run.onProgress?.({ done, total: branch.sequence });
            const put = typeof row.stream === 'string' && /^document\/([0-9a-f]{64})$/.exec(row.stream);
            if (put && row.kind === 'documentPut') documents.add(`${put[1]} ${kindOf(row.body)}`);
          });
        }
      }
      await copyDocuments(client, database, [...documents]);
      if (run.signal?.aborted === true) return false;
    } finally {
      await client.query('ROLLBACK').catch(() => undefined);
    }
    database.exec('INSERT INTO open_job SELECT job_id FROM job EXCEPT SELECT job_id FROM job_end');
    putBack();
    const head = readHeadFromSeals(database);
    if (head !== undefined) writeHead(folder, head);
    return true;
  } finally {
    database.close();
  }
}

/** Takes the triggers and checks away that would refuse what was altered; the returned function puts them back. */
export function withoutGuards(database: Database): () => void {
  const triggers = database
    .prepare<[], { name: string; sql: string }>("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
    .all();
  takeAnything(database);
  for (const { name } of triggers) database.exec(`DROP TRIGGER ${name}`);
  return () => {
    for (const { sql } of triggers) database.exec(sql);
  };
}

/** For this connection: no foreign keys, no checks of columns. */
export function takeAnything(database: Database): void {
  database.pragma('foreign_keys = OFF');
  database.pragma('ignore_check_constraints = ON');
}

async function copyTable(
  client: SiteClient,
  database: Database,
  {
    table,
    stretch: { chainId, after, upTo },
    signal,
  }: { readonly table: ChainTable; readonly stretch: Stretch; readonly signal: AbortSignal | undefined },
  onRow: (row: ChainRow) => void,
): Promise<void> {
  const { select, schema } = chainTables[table];
  const put = inserterOf(database, table);
  await withSiteFaults(() =>
    client.query(
      `DECLARE rows NO SCROLL CURSOR FOR SELECT ${select} FROM bandwright.${table}
       WHERE chain_id = ${chainId} AND sequence > ${after} AND sequence <= ${upTo} ORDER BY sequence`,
    ),
  );
  for (;;) {
    const { rows } = await withSiteFaults(() => client.query(`FETCH ${fetched} FROM rows`));
    const parsed: ChainRow[] = parseRows(schema as z.ZodType<ChainRow>, rows);
    put(parsed);
    for (const row of parsed) onRow(row);
    if (rows.length < fetched || signal?.aborted === true) break;
  }
  await withSiteFaults(() => client.query('CLOSE rows'));
}

/** Documents by `HASH KIND`. */
async function copyDocuments(
  client: SiteClient,
  database: Database,
  names: readonly string[],
): Promise<void> {
  const put = inserterOf(database, 'document');
  for (let start = 0; start < names.length; start += fetched) {
    const some = names.slice(start, start + fetched).map((name) => name.split(' '));
    put(
      await querySite(
        client,
        documentSchema,
        `SELECT d.hash, d.kind, d.body FROM unnest($1::text[], $2::text[]) AS n (hash, kind)
         JOIN bandwright.document d ON d.hash = decode(n.hash, 'hex') AND d.kind = n.kind`,
        [some.map(([hash]) => hash), some.map(([, kind]) => kind)],
      ),
    );
  }
}

/** Writes rows of the site into a table of a station; a row that is there already stays. */
export function inserterOf(
  database: Database,
  table: ChainTable | 'document',
): (rows: readonly ChainRow[]) => void {
  const names = Object.keys(table === 'document' ? documentSchema.shape : chainTables[table].schema.shape);
  const insert = database.prepare(
    `INSERT OR IGNORE INTO ${table} (${names.join(', ')}) VALUES (${names.map((name) => `@${name}`).join(', ')})`,
  );
  return database.transaction((rows: readonly ChainRow[]) => {
    for (const row of rows) insert.run(row);
  });
}

function kindOf(body: unknown): string {
  try {
    const { documentKind } = JSON.parse(String(body));
    return String(documentKind);
  } catch {
    return '';
  }
}
