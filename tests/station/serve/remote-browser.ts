import { request as httpRequest, type IncomingHttpHeaders } from 'node:http';
import { request as httpsRequest } from 'node:https';
import { WebSocket } from 'ws';
import type { News } from '../../../shared/contract.ts';

export interface Got {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: Buffer;
}

/** Fetches as a browser would that was told where the name is; `headers` may lie as a browser cannot. */
export function get(
  url: string,
  options: { headers?: Record<string, string>; ca?: string; method?: string } = {},
): Promise<Got> {
  const { protocol, hostname, port, pathname, host } = new URL(url);
  const send = protocol === 'https:' ? httpsRequest : httpRequest;
  return new Promise((resolve, reject) => {
    const sent = send(
      {
        ...{ host: '127.0.0.1', port, path: pathname, servername: hostname, agent: false },
        method: options.method ?? 'GET',
        headers: { host, ...options.headers },
        ...(options.ca === undefined ? {} : { ca: options.ca }),
      },
      (response) => {
        const pieces: Buffer[] = [];
        response.on('data', (piece: Buffer) => pieces.push(piece));
        response.on('end', () =>
          resolve({
            status: response.statusCode ?? 0,
            headers: response.headers,
            body: Buffer.concat(pieces),
          }),
        );
      },
    );
    sent.on('error', reject);
    sent.end();
  });
}

/** The answer of a call, as it comes over the line. */
export interface AnswerOnLine {
  readonly ok: boolean;
  readonly value?: unknown;
  readonly refusal?: { readonly code: string };
  readonly fault?: { readonly code: string };
}

/** A page at another desk without a page: cookie, WebSocket, calls. */
export class RemoteBrowser {
  readonly cookie: string;
  readonly news: News[] = [];
  closed: number | null = null;
  readonly #socket: WebSocket;
  readonly #waiting = new Map<number, (answer: AnswerOnLine) => void>();
  #next = 1;

  private constructor(cookie: string, socket: WebSocket) {
    this.cookie = cookie;
    this.#socket = socket;
    socket.on('message', (data) => {
      const message = JSON.parse(String(data));
      if ('news' in message) this.news.push(message);
      else this.#waiting.get(message.id)?.(message);
    });
    socket.on('close', (code) => {
      this.closed = code;
    });
  }

  static async open(url: string, ca?: string): Promise<RemoteBrowser> {
    const page = await get(url, ca === undefined ? {} : { ca });
    const cookie = page.headers['set-cookie']?.[0]?.split(';')[0] ?? '';
    return RemoteBrowser.openWith(url, { cookie, ...(ca === undefined ? {} : { ca }) });
  }

  static async openWith(
    url: string,
    { cookie, origin, ca }: { cookie: string; origin?: string; ca?: string },
  ): Promise<RemoteBrowser> {
    const page = new URL(url);
    const socket = new WebSocket(`${page.protocol.replace('http', 'ws')}//127.0.0.1:${page.port}/station`, {
      headers: { host: page.host, origin: origin ?? page.origin, cookie },
      ...(ca === undefined ? {} : { ca, servername: page.hostname }),
    });
    const browser = new RemoteBrowser(cookie, socket);
    await new Promise((ready, failed) => {
      socket.once('open', ready);
      socket.once('error', failed);
    });
    return browser;
  }

  call(call: string, parameters: unknown): Promise<AnswerOnLine> {
    const id = this.#next++;
    return new Promise((resolve) => {
      this.#waiting.set(id, resolve);
      this.#socket.send(JSON.stringify({ id, call, parameters }));
    });
  }

  async codeOf(call: string, parameters: unknown): Promise<string> {
    const answer = await this.call(call, parameters);
    return answer.ok ? 'taken' : (answer.refusal?.code ?? `fault ${answer.fault?.code}`);
  }

  send(text: string): void {
    this.#socket.send(text);
  }

  close(): void {
    this.#socket.terminate();
  }
}
