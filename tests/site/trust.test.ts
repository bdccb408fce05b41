import { chownSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { siteAccess } from '../../electron/station/site/site-access.ts';
import { connectSite } from '../../electron/station/site/site-client.ts';
import { startTestServer, type TestServer } from '../../electron/station/site/test-server.ts';
import { selfSigned } from '../station/serve/certificate.ts';

const year = 365 * 86_400_000;
const from = new Date(Date.now() - 86_400_000);
const until = new Date(Date.now() + year);
const good = selfSigned(['127.0.0.1'], from, until);
const otherName = selfSigned(['other.example'], from, until);

let folder: string;
let server: TestServer;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'bandwright-trust-'));
  server = await startTestServer({ folder });
});
afterAll(async () => {
  await server.stop('immediate');
  rmSync(folder, { recursive: true, force: true });
});

/** The server shows this certificate from now on. */
async function show({ certificate, privateKey }: typeof good): Promise<void> {
  const { uid, gid } = statSync(join(folder, 'cluster'));
  for (const [name, text] of [
    ['server.crt', certificate],
    ['server.key', privateKey],
  ] as const) {
    const file = join(folder, 'cluster', name);
    rmSync(file, { force: true });
    writeFileSync(file, text, { mode: 0o600 });
    chownSync(file, uid, gid);
  }
  writeFileSync(join(folder, 'cluster', 'postgresql.auto.conf'), "ssl = 'on'\n", { mode: 0o600 });
  await server.stop('fast');
  await server.start();
}

/** Whether the connection is encrypted, or the code of the fault. */
async function connection(authority: string | undefined): Promise<boolean | string> {
  const authorityFile = join(folder, 'authority.pem');
  if (authority !== undefined) writeFileSync(authorityFile, authority);
  const access = siteAccess({
    ...{ url: server.url, passwordFile: server.passwordFile },
    authorityFile: authority === undefined ? undefined : authorityFile,
  });
  if (!access.ok) throw new Error(access.error.message);
  try {
    const client = await connectSite(access.value);
    const { rows } = await client.query('SELECT ssl FROM pg_stat_ssl WHERE pid = pg_backend_pid()');
    await client.end();
    return rows[0].ssl;
  } catch (error) {
    return String((error as { code: unknown }).code);
  }
}

describe('the way to the site', () => {
  it('is encrypted and the server’s name proven wherever it leaves this machine', () => {
    const beyond = siteAccess({ url: 'postgresql://bench-1@site.example/site' });
    expect(beyond.ok && beyond.value.tls).toEqual({ authority: undefined });
    for (const host of ['127.0.0.1', '[::1]', 'localhost']) {
      const here = siteAccess({ url: `postgresql://bench-1@${host}/site` });
      expect(here.ok && here.value.tls, host).toBe(false);
    }
  });

  it('is refused where the server speaks in the clear but must prove itself', async () => {
    expect(await connection(good.certificate)).toBe('not_trusted');
    expect(await connection(undefined)).toBe(false);
  });

  it('is taken with the authority that signed, and with no other', async () => {
    await show(good);
    expect(await connection(good.certificate)).toBe(true);
    expect(await connection(otherName.certificate)).toBe('not_trusted');
  });

  it('is refused where the certificate bears another name', async () => {
    await show(otherName);
    expect(await connection(otherName.certificate)).toBe('not_trusted');
  });
});
