import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startScreenServer } from '../../../electron/station/serve/screen-server.ts';
import { SessionBook } from '../../../electron/station/serve/session-book.ts';
import { demoPins } from '../test-station.ts';
import { TestServer } from './test-server.ts';

const station = new TestServer();
beforeAll(async () => {
  await station.start();
});
afterAll(() => station.end());

/** Ways up and out of a folder, as they have worked on other servers. */
const waysOut = (target: string) => [
  `/../${target}`,
  `/../../${target}`,
  `/%2e%2e/${target}`,
  `/..%2f${target}`,
  `/%2e%2e%2f%2e%2e%2f${target}`,
  `/..%5c${target}`,
  `/..\\${target}`,
  `/.%2e/${target}`,
  `/assets/../../${target}`,
  `/assets/..%2f..%2f${target}`,
  `//${target}`,
  `/./../${target}`,
  `/%252e%252e/${target}`,
  `/..;/${target}`,
  `/${target}%00.html`,
  `/%c0%ae%c0%ae/${target}`,
  `/..%00/${target}`,
];

describe('files beside the page', () => {
  it('cannot be reached: the database, the keys, the log, the program', async () => {
    const cookie = await station.enter();
    for (const target of [
      'station.sqlite',
      'signing-key.pem',
      'sessions.json',
      'log/station.log',
      'package.json',
      'main.mjs',
      'station.mjs',
      'etc/passwd',
    ]) {
      for (const path of waysOut(target)) {
        const { status, body } = await station.get(path, { cookie });
        expect([400, 403, 404], path).toContain(status);
        expect(body.length, path).toBeLessThan(200);
      }
    }
  });

  it('cannot be reached in a folder whose name begins like the page’s', async () => {
    const around = mkdtempSync(join(tmpdir(), 'bandwright-page-'));
    const pageFolder = join(around, 'page');
    mkdirSync(pageFolder);
    mkdirSync(join(around, 'page-secret'));
    writeFileSync(join(pageFolder, 'index.html'), '<!doctype html>page');
    writeFileSync(join(around, 'page-secret', 'secret.txt'), 'secret');
    writeFileSync(join(around, 'secret.txt'), 'secret');
    const sessions = new SessionBook(around);
    const server = await startScreenServer({
      pageFolder,
      port: 0,
      sessions,
      wallTime: () => '2031-04-17T10:00:00.000+02:00',
      onScreen: () => () => undefined,
      answer: async () => ({ ok: true, value: null }),
      sendDocument: async () => false,
    });
    try {
      const cookie = `bandwright=${sessions.admit('2031-04-17T10:00:00.000+02:00')}`;
      const at = (path: string) => fetchRaw(server.port, path, cookie);
      expect(await at('/')).toMatchObject({ status: 200, body: '<!doctype html>page' });
      for (const target of ['page-secret/secret.txt', 'secret.txt']) {
        for (const path of waysOut(target)) {
          const { status, body } = await at(path);
          expect([400, 403, 404], path).toContain(status);
          expect(body, path).not.toContain('secret.txt');
        }
      }
    } finally {
      await server.close();
      rmSync(around, { recursive: true });
    }
  });
});

describe('documents', () => {
  it('are given to nobody who is not signed in', async () => {
    const cookie = await station.enter();
    expect((await station.get('/documents/job-1/record.pdf', { cookie })).status).toBe(404);
  });

  it('have only names of jobs: no path leads out of them', async () => {
    const cookie = await station.enter();
    const screen = await station.screen(cookie);
    expect(await screen.codeOf('signIn', { personId: 'flint', pin: demoPins.flint })).toBe('taken');
    for (const name of [
      '..%2f..%2fstation.sqlite',
      '%2e%2e',
      '%',
      '%ff',
      '%00',
      'x%0d%0aSet-Cookie:%20a=b',
      '%22%3b%20filename=%22evil.exe',
      'constructor',
      '__proto__',
      'a'.repeat(5000),
    ]) {
      for (const kind of ['record', 'label']) {
        const answer = await station.get(`/documents/${name}/${kind}.pdf`, { cookie });
        expect(answer.status, name).toBe(404);
      }
    }
    for (const path of ['/documents/', '/documents/a/b/record.pdf', '/documents/../station.sqlite']) {
      expect([403, 404]).toContain((await station.get(path, { cookie })).status);
    }
    screen.cut();
  });
});

describe('every answer', () => {
  it('only reads: no method but GET and HEAD', async () => {
    const cookie = await station.enter();
    for (const method of ['POST', 'PUT', 'DELETE', 'PATCH', 'OPTIONS', 'TRACE', 'PROPFIND']) {
      expect((await station.get('/', { cookie }, method)).status, method).toBe(405);
    }
    expect((await station.get('/', { cookie }, 'HEAD')).status).toBe(200);
  });

  it('carries the headers that keep everything foreign out', async () => {
    const cookie = await station.enter();
    const answers = [
      await station.get('/', { cookie }),
      await station.get('/nothing-here', { cookie }),
      await station.get('/'),
      await station.get('/', { host: 'evil.example' }),
      await station.get('/', { cookie }, 'POST'),
      await station.get('/documents/none/record.pdf', { cookie }),
    ];
    for (const { headers } of answers) {
      expect(headers['content-security-policy']).toMatch(/^default-src 'none'; script-src 'self';/);
      expect(headers['content-security-policy']).toContain("frame-ancestors 'none'");
      expect(headers['content-security-policy']).not.toMatch(/script-src[^;]*unsafe/);
      expect(headers).toMatchObject({
        'x-content-type-options': 'nosniff',
        'referrer-policy': 'no-referrer',
        'cross-origin-opener-policy': 'same-origin',
        'cross-origin-resource-policy': 'same-origin',
      });
      expect(headers['access-control-allow-origin']).toBeUndefined();
    }
  });
});

async function fetchRaw(port: number, path: string, cookie: string) {
  return TestServer.prototype.get.call({ port }, path, { cookie });
}
