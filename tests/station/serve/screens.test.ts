import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import {
  type Screen,
  type ScreenServer,
  startScreenServer,
} from '../../../electron/station/serve/screen-server.ts';
import { SessionBook } from '../../../electron/station/serve/session-book.ts';
import { finding } from '../../../shared/audit/finding.ts';
import type { LiveReading, News } from '../../../shared/contract.ts';

const at = '2031-04-17T10:00:00.000+02:00';
const megabyte = 2 ** 20;

/** The real server with a station behind it that only answers. */
let folder: string;
let server: ScreenServer;
let cookie: string;
let answered = 0;
let answerWhenReleased: Promise<void> = Promise.resolve();
const screens = new Set<Screen>();

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'bandwright-screens-'));
  writeFileSync(join(folder, 'index.html'), '<!doctype html>page');
  const sessions = new SessionBook(folder);
  answered = 0;
  server = await startScreenServer({
    pageFolder: folder,
    port: 0,
    sessions,
    wallTime: () => at,
    onScreen(screen) {
      screens.add(screen);
      return () => screens.delete(screen);
    },
    async answer(_, call) {
      await answerWhenReleased;
      answered += 1;
      if (call === 'bug') throw new Error('a bug of the station');
      return { ok: true, value: call === 'large' ? 'x'.repeat(megabyte) : null };
    },
    sendDocument: async () => false,
  });
  cookie = `bandwright=${sessions.admit(at)}`;
});

afterEach(async () => {
  await server.close();
  screens.clear();
  rmSync(folder, { recursive: true });
});

async function open(): Promise<{ socket: WebSocket; news: News[] }> {
  const origin = `http://127.0.0.1:${server.port}`;
  const socket = new WebSocket(`ws://127.0.0.1:${server.port}/station`, { headers: { cookie, origin } });
  const news: News[] = [];
  socket.on('error', () => undefined);
  socket.on('message', (data) => news.push(JSON.parse(String(data))));
  await new Promise((resolve, reject) => {
    socket.once('open', resolve);
    socket.once('error', reject);
  });
  return { socket, news };
}

function closeCode(socket: WebSocket): Promise<number> {
  return new Promise((resolve) => socket.once('close', resolve));
}

/** Bytes in use inside and outside the heap, without what only waits to be collected. */
function bytesHeld(): number {
  setFlagsFromString('--expose-gc');
  runInNewContext('gc')();
  const { heapUsed, external } = process.memoryUsage();
  return heapUsed + external;
}

function liveReading(atMilliseconds: number): LiveReading {
  return {
    instrumentId: 'scale-1',
    atMilliseconds,
    indication: { text: 'x'.repeat(1000), unit: 'g', state: 'stable' },
    measured: null,
    settled: true,
    judgement: null,
    pull: null,
    dispensing: null,
  };
}

describe('a screen that does not read', () => {
  it('loses live readings, while the others get every one and memory stays bounded', async () => {
    const slow = await open();
    slow.socket.pause();
    const quick = await open();
    const before = bytesHeld();
    const readings = 40_000;
    for (let number = 0; number < readings; number += 1) {
      for (const screen of screens) screen.push({ news: 'live', live: liveReading(number) });
      if (number % 100 === 99) await wait(0);
    }
    const isLive = ({ news }: News) => news === 'live';
    await expect.poll(() => quick.news.filter(isLive).length, { timeout: 10_000 }).toBe(readings);
    quick.news.length = 0;
    const after = bytesHeld();
    // 40 MB were said to each; what the slow one did not take is not kept.
    expect(after - before).toBeLessThan(16 * megabyte);
    slow.socket.resume();
    await wait(300);
    const kept = slow.news.filter(isLive).length;
    expect(kept).toBeGreaterThan(0);
    expect(kept).toBeLessThan(readings / 2);
    expect(slow.socket.readyState).toBe(WebSocket.OPEN);
  });

  it('is cut off when it does not take the pictures either', async () => {
    const slow = await open();
    slow.socket.pause();
    const [screen] = screens;
    const problems = [
      {
        ...{ serial: null, sequence: 1, jobId: null, stream: null, kind: 'altered' as const },
        finding: finding('databaseDamaged', { message: 'x'.repeat(megabyte) }),
      },
    ];
    const progress = { done: 0, total: 1, finished: false, stopped: false, intact: null, problems };
    for (let number = 0; number < 40 && screens.size > 0; number += 1) {
      screen?.push({ news: 'verify', progress });
      await wait(5);
    }
    expect(screens.size).toBe(0);
  });

  it('is cut off when it asks and asks and never listens', async () => {
    const slow = await open();
    slow.socket.pause();
    for (let id = 0; id < 60; id += 1) {
      slow.socket.send(JSON.stringify({ id, call: 'large', parameters: {} }));
    }
    await expect.poll(() => screens.size, { timeout: 5000 }).toBe(0);
  });

  it('is cut off when it asks faster than the station can answer', async () => {
    let release: () => void = () => undefined;
    answerWhenReleased = new Promise((resolve) => {
      release = resolve;
    });
    const { socket } = await open();
    const closed = closeCode(socket);
    for (let id = 0; id < 1000; id += 1) socket.send(JSON.stringify({ id, call: 'slow', parameters: {} }));
    expect(await closed).toBe(1013);
    release();
    answerWhenReleased = Promise.resolve();
    await wait(50);
    expect(answered).toBeLessThanOrEqual(64);
  });
});

describe('a mistake of the station', () => {
  it('closes the connection that met it; the station goes on', async () => {
    const { socket } = await open();
    const closed = closeCode(socket);
    socket.send(JSON.stringify({ id: 1, call: 'bug', parameters: {} }));
    expect(await closed).toBe(1011);
    const next = await open();
    expect(next.socket.readyState).toBe(WebSocket.OPEN);
  });
});

describe('many screens', () => {
  it('are served up to a limit; one that goes makes room for the next', async () => {
    const opened: Awaited<ReturnType<typeof open>>[] = [];
    for (let number = 0; number < 32; number += 1) opened.push(await open());
    await expect(open()).rejects.toThrow('503');
    opened[0]?.socket.close();
    await expect.poll(() => screens.size).toBe(31);
    await open();
    for (const screen of screens) screen.push({ news: 'beat', at });
    await expect.poll(() => opened.slice(1).every(({ news }) => news.length > 0)).toBe(true);
  });

  it('that are opened and cut off again and again leave nothing behind', async () => {
    for (let round = 0; round < 100; round += 1) {
      const { socket } = await open();
      socket.terminate();
    }
    await expect.poll(() => screens.size).toBe(0);
  });
});

describe('connections that say nothing', () => {
  it('do not keep a screen out for long, nor the server from closing', async () => {
    const idle = await Promise.all(
      Array.from({ length: 100 }, async () => {
        const socket = connect(server.port, '127.0.0.1');
        socket.on('error', () => undefined);
        await new Promise((resolve) => socket.once('connect', resolve));
        return socket;
      }),
    );
    await open();
    expect(screens.size).toBe(1);
    for (const socket of idle) socket.destroy();
  });
});
