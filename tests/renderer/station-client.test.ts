import type { AddressInfo } from 'node:net';
import { afterEach, expect, it } from 'vitest';
import { type WebSocket as ServerSocket, WebSocketServer } from 'ws';
import { type Connection, connectToStation, type StationClient } from '../../renderer/station-client.ts';
import type { News } from '../../shared/contract.ts';
import { atStart } from './situations.ts';

let server: WebSocketServer;
let client: StationClient | undefined;

/** A real WebSocket server that answers as the test says. */
async function serve(port: number, welcome: (socket: ServerSocket) => void): Promise<number> {
  server = new WebSocketServer({ host: '127.0.0.1', port });
  server.on('connection', welcome);
  await new Promise((resolve) => server.once('listening', resolve));
  return (server.address() as AddressInfo).port;
}

function connect(port: number) {
  const news: News[] = [];
  const connections: Connection[] = [];
  client = connectToStation({
    url: `ws://127.0.0.1:${port}`,
    openSocket: (url) => new WebSocket(url),
    onNews: (one) => news.push(one),
    onConnection: (connection) => connections.push(connection),
  });
  return { client, news, connections };
}

async function until(condition: () => boolean): Promise<void> {
  while (!condition()) await new Promise((resolve) => setTimeout(resolve, 10));
}

const sendSnapshot = (socket: ServerSocket) =>
  socket.send(JSON.stringify({ news: 'snapshot', snapshot: atStart }));

async function stop(): Promise<void> {
  for (const socket of server.clients) socket.terminate();
  await new Promise((resolve) => server.close(resolve));
}

afterEach(async () => {
  client?.close();
  await stop();
});

it('gives each call its own answer: a value, a refusal, or a fault of the station', async () => {
  const port = await serve(0, (socket) => {
    sendSnapshot(socket);
    socket.on('message', (data) => {
      const { id, call } = JSON.parse(String(data));
      const refusal = { code: 'pin_wrong', field: 'pin', message: 'The PIN is wrong.' };
      const fault = { code: 'disk_full', message: 'The disk is full.' };
      if (call === 'signIn') socket.send(JSON.stringify({ id, ok: false, refusal }));
      else if (call === 'verify') socket.send(JSON.stringify({ id, ok: false, fault }));
      else socket.send(JSON.stringify({ id, ok: true, value: null }));
    });
  });
  const { client: station, connections } = connect(port);
  await until(() => connections.includes('connected'));
  const [signIn, verify, signOut] = await Promise.all([
    station.call('signIn', { pin: '1' }),
    station.call('verify', {}),
    station.call('signOut', {}),
  ]);
  expect(signIn).toMatchObject({ ok: false, error: { kind: 'refusal', refusal: { code: 'pin_wrong' } } });
  expect(verify).toMatchObject({ ok: false, error: { kind: 'fault', code: 'disk_full' } });
  expect(signOut).toEqual({ ok: true, value: null });
});

it('ignores what it does not understand', async () => {
  const port = await serve(0, (socket) => {
    for (const text of ['no json', '{"news":"snapshot"}', '{"news":"other"}', '[]', '{"id":"1","ok":true}']) {
      socket.send(text);
    }
    socket.send(Buffer.from([1, 2, 3]));
    sendSnapshot(socket);
  });
  const { news, connections } = connect(port);
  await until(() => connections.includes('connected'));
  expect(news.map(({ news: kind }) => kind)).toEqual(['snapshot']);
});

it('says that the station is lost, answers open calls so, and comes back by itself', async () => {
  const port = await serve(0, sendSnapshot);
  const { client: station, connections } = connect(port);
  await until(() => connections.includes('connected'));
  const call = station.call('verify', {});
  await stop();
  expect(await call).toEqual({ ok: false, error: { kind: 'unreachable' } });
  expect(connections.at(-1)).toBe('lost');
  expect(await station.call('verify', {})).toMatchObject({ ok: false, error: { kind: 'unreachable' } });
  await serve(port, sendSnapshot);
  await until(() => connections.at(-1) === 'connected');
});

it('calls a station lost that holds the line but has not beaten for three seconds', async () => {
  const port = await serve(0, sendSnapshot);
  const { connections } = connect(port);
  await until(() => connections.includes('connected'));
  const began = performance.now();
  await until(() => connections.includes('lost'));
  expect(performance.now() - began).toBeGreaterThan(2500);
});
