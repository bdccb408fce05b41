import { mkdtempSync, readdirSync, rmdirSync, rmSync } from 'node:fs';
import { type IncomingHttpHeaders, request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { WebSocket } from 'ws';
import { type ServedStation, serveStation } from '../../../electron/station/serve.ts';
import type { Answer, News } from '../../../shared/contract.ts';
import { cheapHashing, movableClock } from '../test-station.ts';

export interface HttpAnswer {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
}

/** A real served station on a folder of its own, and clients for it that need not behave. */
export class TestServer {
  readonly folder: string;
  readonly clock = movableClock();
  #served: ServedStation | undefined;

  readonly #isOwn: boolean;

  /** @param folder given: it stays, emptied */
  constructor(folder?: string) {
    this.#isOwn = folder === undefined;
    this.folder = folder ?? mkdtempSync(join(tmpdir(), 'bandwright-served-'));
  }

  get served(): ServedStation {
    if (this.#served === undefined) throw new Error('the station is not served');
    return this.#served;
  }

  get port(): number {
    return this.served.server.port;
  }

  get origin(): string {
    return `http://127.0.0.1:${this.port}`;
  }

  async start(): Promise<this> {
    this.#served = await serveStation(this.folder, 0, { clock: this.clock, pinHashing: cheapHashing });
    return this;
  }

  async restart(): Promise<void> {
    await this.served.close();
    await this.start();
  }

  async end(): Promise<void> {
    await this.#served?.close();
    for (const name of readdirSync(this.folder)) rmSync(join(this.folder, name), { recursive: true });
    if (this.#isOwn) rmdirSync(this.folder);
  }

  /** One request, its path sent as it stands. */
  get(path: string, headers: Record<string, string> = {}, method = 'GET'): Promise<HttpAnswer> {
    return new Promise((resolve, reject) => {
      const sent = request({ host: '127.0.0.1', port: this.port, path, method, headers, agent: false });
      sent.on('error', reject);
      sent.on('response', (response) => {
        let body = '';
        response.setEncoding('utf8').on('data', (text: string) => {
          body += text;
        });
        response.on('end', () =>
          resolve({ status: response.statusCode ?? 0, headers: response.headers, body }),
        );
      });
      sent.end();
    });
  }

  /** Spends the one-time key as a browser does; returns the cookie. */
  async enter(): Promise<string> {
    const { pathname, search } = new URL(this.served.server.address());
    const { headers } = await this.get(pathname + search);
    return headers['set-cookie']?.[0]?.split(';')[0] ?? '';
  }

  /** A screen of our own page. */
  async screen(cookie?: string): Promise<TestSocket> {
    const socket = new TestSocket(this, { cookie: cookie ?? (await this.enter()), origin: this.origin });
    await socket.opened;
    return socket;
  }

  /** The status with which an upgrade is refused; 101 when it is let in. */
  async upgrade(headers: Record<string, string>, path = '/station'): Promise<number> {
    const socket = new TestSocket(this, headers, path);
    const status = await socket.opened.then(
      () => 101,
      (error: Error) => Number(/server response: (\d+)/.exec(error.message)?.[1]),
    );
    socket.cut();
    return status;
  }
}

/** A WebSocket that remembers what it was told. */
export class TestSocket {
  readonly news: News[] = [];
  readonly opened: Promise<void>;
  /** Resolves with the close code. */
  readonly closed: Promise<number>;
  readonly raw: WebSocket;
  readonly #waiting = new Map<number, (answer: Answer) => void>();
  #lastId = 0;

  constructor({ port }: TestServer, headers: Record<string, string>, path = '/station') {
    this.raw = new WebSocket(`ws://127.0.0.1:${port}${path}`, { headers });
    this.opened = new Promise((resolve, reject) => {
      this.raw.once('open', () => resolve());
      this.raw.once('error', reject);
    });
    this.closed = new Promise((resolve) => this.raw.once('close', resolve));
    this.raw.on('error', () => undefined);
    this.raw.on('message', (data) => {
      const message: Answer | News = JSON.parse(String(data));
      if ('news' in message) this.news.push(message);
      else this.#waiting.get(message.id)?.(message);
    });
  }

  call(call: string, parameters: unknown = {}): Promise<Answer> {
    this.#lastId += 1;
    const id = this.#lastId;
    const answer = new Promise<Answer>((resolve) => this.#waiting.set(id, resolve));
    this.raw.send(JSON.stringify({ id, call, parameters }));
    return answer;
  }

  /** The code of the refusal or fault, or `taken`. */
  async codeOf(call: string, parameters: unknown = {}): Promise<string> {
    const answer = await this.call(call, parameters);
    if (answer.ok) return 'taken';
    return 'refusal' in answer ? answer.refusal.code : `fault ${answer.fault.code}`;
  }

  /** Ends without a word, as when a cable is pulled. */
  cut(): void {
    this.raw.terminate();
  }
}
