import { cpSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Clock, createSystemClock } from '../../drivers/port/clock.ts';
import { createLocalChain, type LocalChain } from '../../electron/station/site/local-chain.ts';
import type { OutboxStatus } from '../../electron/station/site/outbox.ts';
import { runOutboxOf } from '../../electron/station/site/outbox-run.ts';
import { addBench, addReader, setUpSite } from '../../electron/station/site/set-up.ts';
import { type SiteAccess, siteAccess } from '../../electron/station/site/site-access.ts';
import { connectSite, type SiteClient } from '../../electron/station/site/site-client.ts';
import { openSiteSession, type SiteSession } from '../../electron/station/site/site-session.ts';
import { startTestServer, type TestServer, testDatabase } from '../../electron/station/site/test-server.ts';
import { openDatabaseToRead } from '../../electron/station/store/database.ts';
import { openStore } from '../../electron/station/store/open-store.ts';
import type { Store } from '../../electron/station/store/store.ts';
import { jobEvidence } from '../../shared/evidence/job-evidence.ts';
import { writeInventedJobs } from '../station/store/bench.ts';

const secretOf = (login: string) => `secret of ${login}`;

/** A real PostgreSQL server with a site store, and folders of stations beside it. One for a test file. */
export class SiteBench {
  readonly folder = mkdtempSync(join(tmpdir(), 'bandwright-site-'));
  readonly #server: TestServer;
  readonly #isKept: boolean;
  readonly #passwords = new Map<string, string>();

  private constructor(server: TestServer, isKept: boolean) {
    this.#server = server;
    this.#isKept = isKept;
  }

  /** @param kept folder of a server that stays when this ends, and is started again when it is there already */
  static async start(settings: Readonly<Record<string, string>> = {}, kept?: string): Promise<SiteBench> {
    const folder = kept ?? mkdtempSync(join(tmpdir(), 'bandwright-server-'));
    const server = await startTestServer({ folder, settings });
    const bench = new SiteBench(server, kept !== undefined);
    await bench.asAdministrator(async (client) => {
      await setUpSite(client, '2026-01-01', '2027-06-01');
      const { rowCount } = await client.query("SELECT FROM pg_roles WHERE rolname = 'auditor'");
      if (rowCount === 0) await addReader(client, 'auditor', secretOf('auditor'), 'auditor');
    });
    bench.#keepPassword('auditor');
    return bench;
  }

  get server(): TestServer {
    return this.#server;
  }

  async end(): Promise<void> {
    await this.#server.stop(this.#isKept ? 'fast' : 'immediate');
    rmSync(this.folder, { recursive: true, force: true });
    if (this.#isKept) return;
    rmSync(join(this.#server.passwordFile, '..'), { recursive: true, force: true });
  }

  async addBench(login: string): Promise<void> {
    this.#keepPassword(login);
    await this.asAdministrator((client) => addBench(client, login, login, secretOf(login)));
  }

  async addReader(login: string, as: 'auditor' | 'publisher'): Promise<void> {
    this.#keepPassword(login);
    await this.asAdministrator((client) => addReader(client, login, secretOf(login), as));
  }

  #keepPassword(login: string): void {
    const file = join(this.folder, `${login}.password`);
    writeFileSync(file, `${secretOf(login)}\n`, { mode: 0o600 });
    this.#passwords.set(login, file);
  }

  url(login: string): string {
    return `postgresql://${login}@127.0.0.1:${this.#server.port}/${testDatabase}`;
  }

  passwordFile(login: string): string {
    return this.#passwords.get(login) ?? this.#server.passwordFile;
  }

  access(login: string): SiteAccess {
    const access = siteAccess({ url: this.url(login), passwordFile: this.passwordFile(login) });
    if (!access.ok) throw new Error(access.error.message);
    return access.value;
  }

  /** Does something on a connection of this login. */
  async as<Value>(login: string, work: (client: SiteClient) => Promise<Value>): Promise<Value> {
    const client = await connectSite(this.access(login));
    try {
      return await work(client);
    } finally {
      await client.end();
    }
  }

  asAdministrator<Value>(work: (client: SiteClient) => Promise<Value>): Promise<Value> {
    return this.as('site_administrator', work);
  }

  session(login: string): Promise<SiteSession> {
    return openSiteSession(this.access(login));
  }

  /** Numbers that the auditor's login reads. */
  async count(sql: string, values: readonly unknown[] = []): Promise<number> {
    const { rows } = await this.as('auditor', (client) =>
      client.query(`SELECT (${sql}) AS value`, [...values]),
    );
    return Number(rows[0]?.value);
  }

  /** Pushes a data folder as that login until everything is there or a person has to decide. */
  push(dataFolder: string, login: string): Promise<OutboxStatus> {
    return runOutboxOf(
      {
        dataFolder,
        site: { url: this.url(login), passwordFile: this.passwordFile(login) },
        untilUpToDate: true,
      },
      new AbortController().signal,
    );
  }

  /** Lets a station go on as a branch behind a place, as whoever answers for the site decides. */
  settle(benchId: string, stationId: string, after: number): Promise<unknown> {
    return this.asAdministrator((client) =>
      client.query('SELECT bandwright.settle($1, $2, $3, $4, $5)', [
        benchId,
        stationId,
        after,
        'Quill',
        'disk died',
      ]),
    );
  }

  /**
   * A station that was restored from an older backup: after `common` the folder, which is pushed, has the second of
   * three invented jobs, and the backup the third.
   */
  async forkStation(name: string, benchId: string, firstJob: number): Promise<ForkedStation> {
    await this.addBench(benchId);
    const [folder, backup] = [this.stationFolder(name), this.stationFolder(`${name}-backup`)];
    withStore(folder, (store) => writeInventedJobs(store, 1, firstJob));
    cpSync(folder, backup, { recursive: true });
    const common = withChain(folder, (chain) => chain.end());
    withStore(folder, (store) => writeInventedJobs(store, 1, firstJob + 1));
    await this.push(folder, benchId);
    withStore(backup, (store) => writeInventedJobs(store, 1, firstJob + 2));
    return { backup, common };
  }

  /** A data folder of its own for a station. */
  stationFolder(name: string): string {
    return join(this.folder, name);
  }
}

export interface ForkedStation {
  /** Data folder that goes on from the older backup. */
  readonly backup: string;
  /** Place of the last event that both have. */
  readonly common: number;
}

/** The store of a data folder, its station named after the folder. Close it. */
export function openStationStore(folder: string, clock: Clock = createSystemClock()): Store {
  const stationId = `station-of-${folder.split('/').at(-1)}`;
  return openStore({ folder, clock, createId: () => stationId, rules: jobEvidence });
}

/** Works on the store of a data folder, and closes it. */
export function withStore<Value>(
  folder: string,
  work: (store: Store) => Value,
  clock: Clock = createSystemClock(),
): Value {
  const store = openStationStore(folder, clock);
  try {
    return work(store);
  } finally {
    store.close();
  }
}

/** Looks into the chain of a data folder as the outbox does. */
export function withChain<Value>(folder: string, work: (chain: LocalChain) => Value): Value {
  const database = openDatabaseToRead(folder);
  try {
    return work(createLocalChain(database));
  } finally {
    database.close();
  }
}
