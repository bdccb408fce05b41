import type { IncomingMessage, ServerResponse } from 'node:http';
import { createServer as createHttpsServer } from 'node:https';
import { type AddressInfo, isIP, isIPv6 } from 'node:net';
import type { Duplex } from 'node:stream';
import sirv from 'sirv';
import { type WebSocket, WebSocketServer } from 'ws';
import { requestSchema, type Snapshot } from '../../../shared/contract.ts';
import type { Person } from '../../../shared/people/person.ts';
import { addressOf, answerHeaders } from './door.ts';
import { isDownload } from './downloads.ts';
import { createServer as createHttpServer } from './node-http.ts';
import { RateLimit } from './rate-limit.ts';
import { answerRemoteCall, type RemoteDesk, type RemoteScreen } from './remote-calls.ts';
import {
  callerOf,
  isNamedHost,
  isNamedOrigin,
  type RemoteDoor,
  readRemoteCookie,
  remoteCookie,
} from './remote-door.ts';
import type { RemoteOptions } from './remote-options.ts';
import type { RemoteSession, RemoteSessions } from './remote-sessions.ts';

export interface RemoteServerParts {
  readonly options: RemoteOptions;
  /** Folder of the built page, the same as at the bench. */
  readonly pageFolder: string;
  readonly sessions: RemoteSessions;
  readonly desk: RemoteDesk;
  readonly wallTime: () => string;
  /** Milliseconds that only go forward. */
  readonly now: () => number;
  /** What the page shows of the station: whose it is and who is signed in, nothing of the bench. */
  snapshot(session: RemoteSession): Snapshot;
  /** Sends a document or an export, or returns false. */
  sendDownload(person: Person, path: string, response: ServerResponse): Promise<boolean>;
}

export interface RemoteServer {
  readonly port: number;
  /** The address to open at another desk. */
  readonly url: string;
  close(): Promise<void>;
}

const largestMessageBytes = 64 * 1024;
const mostSockets = 32;
const mostSocketsOfOne = 8;
const cutOffAboveBytes = 8 * 1024 * 1024;
const beatEveryMilliseconds = 1000;
/** A page is a dozen files. */
const requestRate = { burst: 120, perSecond: 20 };
const callRate = { burst: 40, perSecond: 10 };
/** Calls refused for their number, after which a screen is hung up on. */
const patience = 100;

/**
 * Serves the page to other desks, read-only: over TLS but on this machine itself, with sessions of their own, limits on
 * requests, sign-ins and calls, and a table of calls in which nothing changes anything.
 *
 * @throws when the address cannot be listened on
 */
export async function startRemoteServer(parts: RemoteServerParts): Promise<RemoteServer> {
  const { options, sessions, desk } = parts;
  const page = sirv(parts.pageFolder, { etag: true, dev: true, single: false });
  const requests = new RateLimit(requestRate, parts.now);
  const calls = new RateLimit(callRate, parts.now);
  const listener = (request: IncomingMessage, response: ServerResponse) => {
    handleRequest(request, response).catch((error: unknown) => {
      desk.reportBug(error);
      if (!response.headersSent) response.writeHead(500);
      response.end();
    });
  };
  const timeouts = { requestTimeout: 10_000, headersTimeout: 5_000 };
  const server =
    options.tls === null
      ? createHttpServer(timeouts, listener)
      : createHttpsServer(
          {
            ...timeouts,
            cert: options.tls.certificate,
            key: options.tls.privateKey,
            minVersion: 'TLSv1.2',
          },
          listener,
        );
  server.maxConnections = 256;
  const sockets = new WebSocketServer({ noServer: true, maxPayload: largestMessageBytes });
  const screens = new Map<WebSocket, RemoteScreen>();
  const port = await listen(server, options);
  const door: RemoteDoor = { isSecure: options.tls !== null, names: options.names, port };

  async function handleRequest(request: IncomingMessage, response: ServerResponse): Promise<void> {
    for (const [name, value] of Object.entries(answerHeaders)) response.setHeader(name, value);
    if (door.isSecure) response.setHeader('Strict-Transport-Security', 'max-age=31536000');
    if (!requests.take(callerOf(request))) {
      response.setHeader('Retry-After', '5');
      return end(response, 429, 'Too many requests; wait a moment.');
    }
    if (!isNamedHost(request, door)) return end(response, 421, 'This address is not served here.');
    if (request.method !== 'GET' && request.method !== 'HEAD') return end(response, 405, 'Only reading.');
    const pathname = addressOf(request)?.pathname;
    if (pathname === undefined) return end(response, 400, 'This is no address.');
    const cookie = readRemoteCookie(request, door);
    const session = cookie === undefined ? undefined : sessions.find(cookie);
    if (isDownload(pathname)) {
      const person = session && desk.personIn(session);
      if (person === undefined) return end(response, 403, 'Sign in first.');
      if (!(await parts.sendDownload(person, pathname, response))) end(response, 404, 'No such document.');
      return;
    }
    // The page itself holds nothing of the workshop; the cookie makes it a screen that somebody can sign in on.
    if (session === undefined && pathname === '/') {
      response.setHeader('Set-Cookie', remoteCookie(door, sessions.admit()));
    }
    response.setHeader('Cache-Control', 'no-cache');
    page(request, response, () => end(response, 404, 'Nothing here.'));
  }

  server.on('upgrade', (request: IncomingMessage, socket: Duplex, head: Buffer) => {
    const address = callerOf(request);
    const cookie = readRemoteCookie(request, door);
    const session = cookie === undefined ? undefined : sessions.find(cookie);
    // An address that is none (`//`) must not end the station.
    const refusal = refusalOf(request, address, addressOf(request)?.pathname ?? '', session);
    socket.on('error', () => socket.destroy());
    if (refusal !== undefined || session === undefined) {
      socket.end(`HTTP/1.1 ${refusal}\r\nConnection: close\r\n\r\n`, () => socket.destroy());
      return;
    }
    sockets.handleUpgrade(request, socket, head, (webSocket) => welcome(webSocket, session, address));
  });

  function refusalOf(
    request: IncomingMessage,
    address: string,
    pathname: string,
    session: RemoteSession | undefined,
  ): string | undefined {
    if (!requests.take(address, 5)) return '429 Too Many Requests';
    if (pathname !== '/station' || !isNamedHost(request, door) || !isNamedOrigin(request, door)) {
      return '403 Forbidden';
    }
    if (session === undefined) return '401 Unauthorized';
    const ofOne = [...screens.values()].filter((screen) => screen.address === address).length;
    if (screens.size >= mostSockets || ofOne >= mostSocketsOfOne) return '503 Service Unavailable';
    return undefined;
  }

  function welcome(webSocket: WebSocket, session: RemoteSession, address: string): void {
    const screen: RemoteScreen = {
      session,
      address,
      push(news) {
        if (webSocket.readyState !== webSocket.OPEN) return;
        if (webSocket.bufferedAmount > cutOffAboveBytes) webSocket.terminate();
        else webSocket.send(JSON.stringify(news));
      },
    };
    screens.set(webSocket, screen);
    let shown = '';
    const show = () => {
      const snapshot = parts.snapshot(session);
      const text = JSON.stringify(snapshot);
      if (text === shown) return;
      shown = text;
      screen.push({ news: 'snapshot', snapshot });
    };
    show();
    const beat = setInterval(() => {
      screen.push({ news: 'beat', at: parts.wallTime() });
      // Whoever was away too long, or may no longer sign in, is shown out.
      show();
    }, beatEveryMilliseconds);
    let tooMany = 0;
    webSocket.on('close', () => {
      clearInterval(beat);
      screens.delete(webSocket);
    });
    webSocket.on('error', () => webSocket.terminate());
    webSocket.on('message', (data, isBinary) => {
      const request = requestSchema.safeParse(parseJson(isBinary ? '' : String(data)));
      if (!request.success) return webSocket.close(1008, 'not a call');
      const { id, call, parameters } = request.data;
      if (!calls.take(address)) {
        tooMany += 1;
        if (tooMany > patience) return webSocket.close(1008, 'too many calls');
        const refusal = {
          code: 'too_many_calls',
          field: '',
          message: 'Too many questions at once; wait a moment and try again.',
        };
        return webSocket.send(JSON.stringify({ id, ok: false, refusal }));
      }
      sessions.touch(session);
      void answerRemoteCall(desk, screen, call, parameters).then((body) => {
        if (webSocket.readyState !== webSocket.OPEN) return;
        webSocket.send(JSON.stringify({ id, ...body }));
        // Signing in or out on one of its pages is seen on all of them.
        if (call === 'signIn' || call === 'signOut') show();
      });
    });
  }

  return {
    port,
    url: urlOf(door),
    async close() {
      for (const webSocket of screens.keys()) webSocket.terminate();
      sockets.close();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

function urlOf({ names, port, isSecure }: RemoteDoor): string {
  const [name = ''] = names;
  const host = isIPv6(name) ? `[${name}]` : name;
  return new URL(`${isSecure ? 'https' : 'http'}://${host}:${port}/`).href;
}

function end(response: ServerResponse, status: number, sentence: string): void {
  response.writeHead(status, { 'Content-Type': 'text/plain; charset=utf-8' });
  response.end(`${sentence}\n`);
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

type AnyServer = ReturnType<typeof createHttpServer> | ReturnType<typeof createHttpsServer>;

function listen(server: AnyServer, { host, port }: RemoteOptions): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    // A name is bound by the address that it has here.
    server.listen({ port, host, ipv6Only: isIP(host) === 6 && host !== '::' }, () => {
      server.off('error', reject);
      resolve((server.address() as AddressInfo).port);
    });
  });
}
