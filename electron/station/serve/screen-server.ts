import type { IncomingMessage, ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Duplex } from 'node:stream';
import sirv from 'sirv';
import { type WebSocket, WebSocketServer } from 'ws';
import { type Answer, type News, requestSchema } from '../../../shared/contract.ts';
import {
  addressOf,
  answerHeaders,
  cookieName,
  isOurHost,
  isOurOrigin,
  OneTimeKey,
  readCookie,
} from './door.ts';
import { isDownload } from './downloads.ts';
import { createServer } from './node-http.ts';
import type { Session, SessionBook } from './session-book.ts';

/** One open WebSocket of a screen. */
export interface Screen {
  readonly session: Session;
  /** Sends news; live readings are dropped for a screen that does not keep up. */
  push(news: News): void;
}

export interface ScreenServerParts {
  /** Folder of the built page. */
  readonly pageFolder: string;
  /** Wished port; 0 for any. When it is taken, any. */
  readonly port: number;
  readonly sessions: Pick<SessionBook, 'find' | 'admit'>;
  readonly wallTime: () => string;
  /** A screen has connected; returns what to do when it goes. */
  onScreen(screen: Screen): () => void;
  /** Answers one call. Never throws: bugs become a fault answer. */
  answer(screen: Screen, call: string, parameters: unknown): Promise<AnswerBody>;
  /** Sends a document or an export that a screen fetches, or returns false. */
  sendDocument(session: Session, path: string, response: ServerResponse): Promise<boolean>;
}

/** An answer without its number. */
export type AnswerBody = Answer extends infer One ? (One extends Answer ? Omit<One, 'id'> : never) : never;

export interface ScreenServer {
  readonly port: number;
  /** The address with a key that lets one screen in; a new one after each use. */
  address(): string;
  close(): Promise<void>;
}

/** A service sheet with its pictures is the largest thing that a screen sends. */
const largestMessageBytes = 4 * 1024 * 1024;
const mostScreens = 32;
/** Screens, pages being loaded, and programs that try their luck. */
const mostConnections = 128;
/** Calls of one screen under way; a page has one or two. */
const mostCallsAtOnce = 64;
const dropLiveAboveBytes = 256 * 1024;
const cutOffAboveBytes = 8 * 1024 * 1024;
const beatEveryMilliseconds = 1000;

/**
 * Serves the page and the one WebSocket on loopback. Let in: whoever brings the one-time key (once), then the
 * cookie that it was changed into. Refused: foreign `Host` and `Origin`, too large messages, too many screens.
 */
export async function startScreenServer(parts: ScreenServerParts): Promise<ScreenServer> {
  const key = new OneTimeKey();
  const page = sirv(parts.pageFolder, { etag: true, dev: true, single: false });
  const http = createServer({ requestTimeout: 10_000, headersTimeout: 5_000 }, (request, response) => {
    handleRequest(request, response).catch(() => {
      if (!response.headersSent) response.writeHead(500);
      response.end();
    });
  });
  const sockets = new WebSocketServer({
    noServer: true,
    maxPayload: largestMessageBytes,
    clientTracking: true,
  });
  http.maxConnections = mostConnections;
  const port = await listen(http, parts.port);

  async function handleRequest(request: IncomingMessage, response: ServerResponse): Promise<void> {
    for (const [name, value] of Object.entries(answerHeaders)) response.setHeader(name, value);
    if (!isOurHost(request, port)) return end(response, 421, 'This address is not served here.');
    if (request.method !== 'GET' && request.method !== 'HEAD') return end(response, 405, 'Only reading.');
    const url = addressOf(request);
    if (url === undefined) return end(response, 400, 'This is no address.');
    const cookie = readCookie(request);
    const known = cookie === undefined ? undefined : parts.sessions.find(cookie);
    const offered = url.searchParams.get('key');
    if (offered !== null) {
      if (key.spend(offered)) {
        if (known === undefined) {
          const token = parts.sessions.admit(parts.wallTime());
          response.setHeader('Set-Cookie', `${cookieName}=${token}; HttpOnly; SameSite=Strict; Path=/`);
        }
      } else if (known === undefined) {
        return end(
          response,
          403,
          'This address has been used. Start Bandwright again, or take the new address it printed.',
        );
      }
      response.writeHead(302, { Location: '/' });
      response.end();
      return;
    }
    if (known === undefined)
      return end(response, 403, 'Open Bandwright with the address that it printed at its start.');
    if (isDownload(url.pathname)) {
      if (!(await parts.sendDocument(known, url.pathname, response))) end(response, 404, 'No such document.');
      return;
    }
    response.setHeader('Cache-Control', 'no-cache');
    page(request, response, () => end(response, 404, 'Nothing here.'));
  }

  http.on('upgrade', (request: IncomingMessage, socket: Duplex, head: Buffer) => {
    // Node hands the socket over without a listener: a client that resets it would end the station.
    socket.on('error', () => socket.destroy());
    const cookie = readCookie(request);
    const session = cookie === undefined ? undefined : parts.sessions.find(cookie);
    const refusal =
      addressOf(request)?.pathname !== '/station' || !isOurHost(request, port) || !isOurOrigin(request, port)
        ? '403 Forbidden'
        : session === undefined
          ? '401 Unauthorized'
          : sockets.clients.size >= mostScreens
            ? '503 Service Unavailable'
            : undefined;
    if (refusal !== undefined || session === undefined) {
      socket.end(`HTTP/1.1 ${refusal}\r\nConnection: close\r\n\r\n`, () => socket.destroy());
      return;
    }
    sockets.handleUpgrade(request, socket, head, (webSocket) => welcome(webSocket, session));
  });

  function welcome(webSocket: WebSocket, session: Session): void {
    const screen: Screen = {
      session,
      push(news) {
        if (news.news !== 'live' || webSocket.bufferedAmount < dropLiveAboveBytes) send(webSocket, news);
      },
    };
    let callsUnderWay = 0;
    const leave = parts.onScreen(screen);
    const beat = setInterval(
      () => screen.push({ news: 'beat', at: parts.wallTime() }),
      beatEveryMilliseconds,
    );
    webSocket.on('close', () => {
      clearInterval(beat);
      leave();
    });
    webSocket.on('error', () => webSocket.terminate());
    webSocket.on('message', (data, isBinary) => {
      if (webSocket.readyState !== webSocket.OPEN) return;
      if (callsUnderWay >= mostCallsAtOnce) return webSocket.close(1013, 'too many calls at once');
      callsUnderWay += 1;
      answerMessage(webSocket, screen, isBinary ? '' : String(data))
        .catch(() => webSocket.close(1011, 'the station made a mistake'))
        .finally(() => {
          callsUnderWay -= 1;
        });
    });
  }

  /** Cuts a client off that does not read what it is sent: memory stays bounded. */
  function send(webSocket: WebSocket, message: Answer | News): void {
    if (webSocket.readyState !== webSocket.OPEN) return;
    if (webSocket.bufferedAmount > cutOffAboveBytes) webSocket.terminate();
    else webSocket.send(JSON.stringify(message));
  }

  async function answerMessage(webSocket: WebSocket, screen: Screen, text: string): Promise<void> {
    const request = requestSchema.safeParse(parseJson(text));
    if (!request.success) {
      webSocket.close(1008, 'not a call');
      return;
    }
    const { id, call, parameters } = request.data;
    send(webSocket, { id, ...(await parts.answer(screen, call, parameters)) });
  }

  return {
    port,
    address: () => `http://127.0.0.1:${port}/?key=${key.value}`,
    async close() {
      for (const webSocket of sockets.clients) webSocket.terminate();
      sockets.close();
      http.closeAllConnections();
      await new Promise((resolve) => http.close(resolve));
    },
  };
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

async function listen(server: ReturnType<typeof createServer>, port: number): Promise<number> {
  const tryPort = (wished: number) =>
    new Promise<void>((resolve, reject) => {
      server.once('error', reject);
      server.listen(wished, '127.0.0.1', () => {
        server.off('error', reject);
        resolve();
      });
    });
  try {
    await tryPort(port);
  } catch (error) {
    if (port === 0) throw error;
    await tryPort(0);
  }
  return (server.address() as AddressInfo).port;
}
