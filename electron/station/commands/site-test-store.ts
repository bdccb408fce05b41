import { randomBytes } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { BadInput, type CommandInput, type ExitCode } from './command.ts';
import { untilEnded } from './until-ended.ts';

/** Logins of the store for trying. */
const logins = [
  ['bench-1', 'bench'],
  ['bench-2', 'bench'],
  ['auditor', 'auditor'],
  ['publisher', 'publisher'],
] as const;

/** A real PostgreSQL server from npm with a store in it, until it is ended. */
export async function testStore({ options, json, print, say }: CommandInput): Promise<ExitCode> {
  const folder = resolve(
    typeof options.folder === 'string' ? options.folder : join(tmpdir(), 'bandwright-test-store'),
  );
  const port = options.port === undefined ? undefined : Number(options.port);
  if (port !== undefined && !(Number.isInteger(port) && port > 0 && port < 65_536))
    throw new BadInput(`--port: "${options.port}" is none; give a number from 1 to 65535`);
  const { startTestServer, testDatabase } = await import('../site/test-server.ts');
  const { siteAccess } = await import('../site/site-access.ts');
  const { connectSite } = await import('../site/site-client.ts');
  const { addBench, addReader, setUpSite } = await import('../site/set-up.ts');
  const server = await startTestServer({ folder, ...(port === undefined ? {} : { port }) }).catch(
    (error: unknown) => {
      throw new BadInput(`test-store: ${error instanceof Error ? error.message : error}`);
    },
  );
  try {
    const access = siteAccess({ url: server.url, passwordFile: server.passwordFile });
    if (!access.ok) throw new Error(access.error.message);
    const client = await connectSite(access.value);
    const year = new Date().getUTCFullYear();
    await setUpSite(client, `${year - 1}-01-01`, `${year + 3}-01-01`);
    const made = [];
    for (const [login, as] of logins) {
      const passwordFile = join(folder, `${login}.password`);
      const { rowCount } = await client.query('SELECT 1 FROM pg_roles WHERE rolname = $1', [login]);
      if (rowCount === 0) {
        writeFileSync(passwordFile, `${randomBytes(18).toString('base64url')}\n`, { mode: 0o600 });
        const password = readFileSync(passwordFile, 'utf8').trim();
        await (as === 'bench'
          ? addBench(client, login, login, password)
          : addReader(client, login, password, as));
      }
      if (!existsSync(passwordFile)) throw new Error(`${passwordFile} is gone; name another folder`);
      made.push({
        login,
        url: `postgresql://${login}@127.0.0.1:${server.port}/${testDatabase}`,
        passwordFile,
      });
    }
    await client.end();
    const all = [
      { login: 'site_administrator', url: server.url, passwordFile: server.passwordFile },
      ...made,
    ];
    if (json) await print(JSON.stringify({ folder, logins: all }));
    else
      for (const { url, passwordFile } of all) await print(`--site ${url} --password-file ${passwordFile}`);
    say(`A store for trying, in ${folder}; it runs until Ctrl+C.`);
    await untilEnded();
    return 0;
  } finally {
    await server.stop('fast');
  }
}
