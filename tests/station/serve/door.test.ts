import { connect } from 'node:net';
import { networkInterfaces } from 'node:os';
import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { TestServer } from './test-server.ts';

const station = new TestServer();
beforeAll(async () => {
  await station.start();
});
afterAll(() => station.end());

/** Sends bytes as they stand and returns what came back until the other side closed or half a second passed. */
function sendRaw(text: string): Promise<string> {
  return new Promise((resolve) => {
    let answer = '';
    const socket = connect(station.port, '127.0.0.1', () => socket.write(text));
    socket.setEncoding('latin1').on('data', (piece: string) => {
      answer += piece;
    });
    socket.setTimeout(500, () => socket.destroy());
    socket.on('error', () => socket.destroy());
    socket.on('close', () => resolve(answer));
  });
}

describe('the address of the station', () => {
  it('opens the page only for the key that was printed, and the key only once', async () => {
    const { pathname, search } = new URL(station.served.server.address());
    expect((await station.get('/')).status).toBe(403);
    expect((await station.get('/?key=')).status).toBe(403);
    expect((await station.get(`/?key=${'A'.repeat(32)}`)).status).toBe(403);
    const first = await station.get(pathname + search);
    expect(first).toMatchObject({ status: 302, headers: { location: '/' } });
    expect(first.headers['set-cookie']?.[0]).toMatch(
      /^bandwright=[\w-]{43}; HttpOnly; SameSite=Strict; Path=\/$/,
    );
    const second = await station.get(pathname + search);
    expect(second).toMatchObject({ status: 403, body: expect.stringContaining('has been used') });
    expect(second.headers['set-cookie']).toBeUndefined();
    expect(station.served.server.address()).not.toContain(search);
  });

  it('serves the page to the cookie that the key was changed into, not to an invented one', async () => {
    const cookie = await station.enter();
    expect(await station.get('/', { cookie })).toMatchObject({
      status: 200,
      body: expect.stringContaining('<!doctype html>'),
    });
    for (const wrong of ['bandwright=', `bandwright=${'A'.repeat(43)}`, `bandwright=${'A'.repeat(5000)}`]) {
      expect((await station.get('/', { cookie: wrong })).status).toBe(403);
    }
  });

  it('lets a screen in again after a restart, but no key of before the restart', async () => {
    const cookie = await station.enter();
    const { pathname, search } = new URL(station.served.server.address());
    await station.restart();
    expect((await station.get('/', { cookie })).status).toBe(200);
    expect((await station.get(pathname + search)).status).toBe(403);
  });

  it('is 127.0.0.1 alone: at every other address of this machine nothing listens', async () => {
    const others = Object.values(networkInterfaces())
      .flatMap((addresses) => addresses ?? [])
      .map(({ address }) => address)
      .filter((address) => address !== '127.0.0.1');
    for (const address of [...others, '127.0.0.2']) {
      const outcome = await new Promise<string>((resolve) => {
        const socket = connect({ port: station.port, host: address, timeout: 1000 });
        for (const event of ['connect', 'timeout', 'error']) {
          socket.once(event, () => {
            socket.destroy();
            resolve(event);
          });
        }
      });
      expect(outcome, address).not.toBe('connect');
    }
  });
});

describe('a foreign name for this machine (rebinding)', () => {
  it('is refused for pages, documents and the key, whatever the cookie', async () => {
    const cookie = await station.enter();
    const { search } = new URL(station.served.server.address());
    for (const host of [
      'evil.example',
      `evil.example:${station.port}`,
      '127.0.0.1',
      `127.0.0.1:${station.port + 1}`,
      `[::1]:${station.port}`,
      `127.0.0.1:${station.port}.evil.example`,
    ]) {
      for (const path of ['/', '/index.html', `/${search}`, '/documents/x/record.pdf']) {
        const answer = await station.get(path, { host, cookie });
        expect(answer.status, `${host} ${path}`).toBe(421);
        expect(answer.headers['set-cookie']).toBeUndefined();
      }
    }
    expect((await station.get('/', { host: `localhost:${station.port}`, cookie })).status).toBe(200);
  });

  it('is refused without any Host too', async () => {
    expect(await sendRaw('GET / HTTP/1.0\r\n\r\n')).toContain(' 421 ');
  });
});

describe('the WebSocket', () => {
  it('opens for our own page with its cookie', async () => {
    const cookie = await station.enter();
    expect(await station.upgrade({ cookie, origin: station.origin })).toBe(101);
    expect(await station.upgrade({ cookie, origin: `http://localhost:${station.port}` })).toBe(101);
  });

  it('is refused to a foreign page, to a page without origin and to a program without cookie', async () => {
    const cookie = await station.enter();
    for (const origin of [
      'http://evil.example',
      `http://evil.example:${station.port}`,
      `https://127.0.0.1:${station.port}`,
      `http://127.0.0.1:${station.port + 1}`,
      `http://127.0.0.1.evil.example:${station.port}`,
      'null',
      'file://',
    ]) {
      expect(await station.upgrade({ cookie, origin }), origin).toBe(403);
    }
    expect(await station.upgrade({ cookie })).toBe(403);
    expect(await station.upgrade({ origin: station.origin })).toBe(401);
    expect(await station.upgrade({ origin: station.origin, cookie: `bandwright=${'B'.repeat(43)}` })).toBe(
      401,
    );
    expect(await station.upgrade({ cookie, origin: station.origin, host: 'evil.example' })).toBe(403);
    expect(await station.upgrade({ cookie, origin: station.origin }, '/other')).toBe(403);
  });

  it('cannot be opened with the one-time key itself', async () => {
    const { search } = new URL(station.served.server.address());
    expect(await station.upgrade({ origin: station.origin }, `/station${search}`)).toBe(401);
  });
});

describe('requests that are none', () => {
  it('leave the station as it was', async () => {
    const host = `Host: 127.0.0.1:${station.port}`;
    const upgrade = 'Connection: Upgrade\r\nUpgrade: websocket';
    for (const text of [
      '\r\n\r\n',
      'nonsense\r\n\r\n',
      `GET // HTTP/1.1\r\n${host}\r\n\r\n`,
      `GET http:// HTTP/1.1\r\n${host}\r\n\r\n`,
      `GET // HTTP/1.1\r\n${host}\r\n${upgrade}\r\n\r\n`,
      `GET http://[ HTTP/1.1\r\n${host}\r\n${upgrade}\r\n\r\n`,
      `GET /station HTTP/1.1\r\n${host}\r\n${upgrade}\r\n\r\n`,
      `GET / HTTP/1.1\r\n${host}\r\nX: ${'x'.repeat(100_000)}\r\n\r\n`,
      `CONNECT evil.example:443 HTTP/1.1\r\n${host}\r\n\r\n`,
      `GET / HTTP/1.1\r\n${host}\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n`,
      `GET / HTTP/1.1\r\n${host}\r\nExpect: 100-continue\r\n\r\n`,
      Buffer.from(Array.from({ length: 2000 }, (_, index) => (index * 197) % 256)).toString('latin1'),
    ]) {
      await sendRaw(text);
    }
    expect((await station.get('/', { cookie: await station.enter() })).status).toBe(200);
  });

  it('that are cut off in the middle of an upgrade leave the station as it was', async () => {
    for (let attempt = 0; attempt < 40; attempt += 1) {
      const socket = connect(station.port, '127.0.0.1');
      socket.on('error', () => undefined);
      socket.write(
        `GET /station HTTP/1.1\r\nHost: 127.0.0.1:${station.port}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\r\n`,
      );
      await wait(attempt % 4);
      socket.resetAndDestroy();
    }
    expect((await station.get('/', { cookie: await station.enter() })).status).toBe(200);
  });
});
