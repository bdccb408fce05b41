import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { serveCommand } from '../../../electron/station/commands/serve.ts';
import { remoteOfFile } from '../../../electron/station/serve/remote-file.ts';
import { type RemoteWish, remoteOptions } from '../../../electron/station/serve/remote-options.ts';
import { call } from '../commands/calling.ts';
import { temporaryFolder } from '../store/bench.ts';
import { locked, selfSigned } from './certificate.ts';

const now = Date.UTC(2026, 10, 25);
const day = 86_400_000;
const names = ['desk.example', '192.0.2.7', '127.0.0.1'];

/** PEM files of a certificate for those names, in their time unless said otherwise. */
function files(from = now - day, until = now + 300 * day): { certificate: string; privateKey: string } {
  const folder = temporaryFolder();
  const made = selfSigned(names, new Date(from), new Date(until));
  const paths = { certificate: join(folder, 'desk.pem'), privateKey: join(folder, 'desk.key') };
  writeFileSync(paths.certificate, made.certificate);
  writeFileSync(paths.privateKey, made.privateKey);
  writeFileSync(join(folder, 'locked.key'), locked(made.privateKey));
  return paths;
}

async function refused(wish: RemoteWish): Promise<string> {
  const checked = await remoteOptions(wish, now);
  return checked.ok ? 'taken' : `${checked.error.field}: ${checked.error.message}`;
}

describe('what may be served to other desks', () => {
  it('is served without a certificate on this machine alone', async () => {
    for (const listen of ['127.0.0.1:8443', 'localhost:8443', '[::1]:8443', '127.8.8.8:0']) {
      expect(await remoteOptions({ listen }, now), listen).toMatchObject({ ok: true, value: { tls: null } });
    }
    const beyond = ['192.0.2.7:8443', '10.0.0.1:443', '[2001:db8::1]:443'];
    for (const listen of beyond)
      expect(await refused({ listen })).toMatch(/^certificate: missing; beyond this/);
    // Every address of this machine is beyond it, whatever name it is opened under.
    expect(await refused({ listen: '0.0.0.0:8443', names: ['localhost'] })).toMatch(/^certificate: missing/);
    expect(await refused({ listen: '[::]:8443', names: ['localhost'] })).toMatch(/^certificate: missing/);
  });

  it('takes a certificate that bears every name, in its time, with its key', async () => {
    const { certificate, privateKey } = files();
    const checked = await remoteOptions(
      { listen: '192.0.2.7:8443', names: ['Desk.Example'], certificate, privateKey },
      now,
    );
    expect(checked).toMatchObject({
      ok: true,
      value: { host: '192.0.2.7', port: 8443, names: ['192.0.2.7', 'desk.example'] },
    });
  });

  it('says what is wrong with certificate and key', async () => {
    const { certificate, privateKey } = files();
    const listen = '192.0.2.7:8443';
    expect(await refused({ listen, certificate })).toMatch(/^private-key: missing/);
    expect(await refused({ listen, privateKey })).toMatch(/^certificate: missing/);
    expect(await refused({ listen, certificate: privateKey, privateKey })).toMatch(
      /^certificate: is no certif/,
    );
    expect(await refused({ listen, certificate, privateKey: certificate })).toMatch(
      /^private-key: is no private/,
    );
    expect(
      await refused({ listen, certificate, privateKey: privateKey.replace('desk.key', 'locked.key') }),
    ).toMatch(/without a password/);
    expect(await refused({ listen, certificate, privateKey: files().privateKey })).toMatch(
      /another certificate/,
    );
    expect(await refused({ listen: '192.0.2.8:1', certificate, privateKey })).toMatch(
      /bear the name 192.0.2.8/,
    );
    expect(await refused({ listen, names: ['other.example'], certificate, privateKey })).toMatch(
      /other.example/,
    );
    expect(await refused({ listen, ...files(now - 9 * day, now - day) })).toMatch(
      /is valid from .* only; renew/,
    );
    expect(await refused({ listen, ...files(now + day, now + 9 * day) })).toMatch(
      /is valid from .* only; renew/,
    );
    expect(await refused({ listen, certificate: '/none.pem', privateKey })).toMatch(
      /none.pem cannot be read/,
    );
  });

  it('says what is wrong with an address', async () => {
    for (const listen of ['8443', 'desk.example', 'desk:99999', ':8443', 'a b:1', 'desk.example:'])
      expect(await refused({ listen })).toMatch(/^remote: .* is no HOST:PORT/);
    expect(await refused({ listen: 'no-such-name.invalid:8443' })).toMatch(
      /^remote: .* is no name or address/,
    );
    expect(await refused({ listen: '0.0.0.0:8443' })).toMatch(/^remote-name: /);
  });
});

describe('the file remote.json of the data folder', () => {
  const read = async (content: unknown) => {
    const folder = temporaryFolder();
    const text = typeof content === 'string' ? content : JSON.stringify(content);
    writeFileSync(join(folder, 'remote.json'), text);
    const made = selfSigned(names, new Date(now - day), new Date(now + day));
    writeFileSync(join(folder, 'desk.pem'), made.certificate);
    writeFileSync(join(folder, 'desk.key'), made.privateKey);
    const asked = await remoteOfFile(folder, now);
    return asked.ok ? asked.value : `${asked.error.field}: ${asked.error.message}`;
  };

  it('opens the door as it asks, with certificate and key from the folder', async () => {
    const wish = { listen: '192.0.2.7:8443', certificate: 'desk.pem', privateKey: 'desk.key' };
    expect(await read(wish)).toMatchObject({ port: 8443, names: ['192.0.2.7'], tls: {} });
    expect(await read({ listen: '127.0.0.1:8443' })).toMatchObject({ tls: null });
  });

  it('is a door shut where it is not there, and says what is wrong with it otherwise', async () => {
    expect(await remoteOfFile(temporaryFolder(), now)).toEqual({ ok: true, value: null });
    expect(await read('{"listen":')).toMatch(/is no JSON/);
    expect(await read({ listen: '192.0.2.7:8443' })).toMatch(/^certificate: missing/);
    expect(await read({ listen: '192.0.2.7:8443', key: 'x' })).toMatch(/key/);
    expect(await read({ certificate: 'desk.pem' })).toMatch(/^listen: /);
  });
});

describe('the command serve', () => {
  it.each([
    [{ remote: '192.0.2.7:8443' }, '--certificate: missing; beyond this machine'],
    [{ remote: '0.0.0.0:8443', 'remote-name': ['desk.example'] }, '--certificate: missing'],
    [{ certificate: 'desk.pem' }, '--certificate: belongs to --remote'],
    [{ remote: 'desk' }, '--remote: "desk" is no HOST:PORT'],
  ])('opens nothing with %j', async (options, sentence) => {
    const { code, out, error } = await call(serveCommand, '', [], { data: temporaryFolder(), ...options });
    expect([code, out]).toEqual([2, '']);
    expect(error).toContain(sentence);
  });
});
