import { z } from 'zod';
import type { CallName, CallParameters, CallResults, News } from '../shared/contract.ts';
import type { Refusal } from '../shared/result.ts';

/** Why a call gave nothing: the input was refused, the station has trouble, or it cannot be reached. */
export type CallFailure =
  | { readonly kind: 'refusal'; readonly refusal: Refusal }
  | { readonly kind: 'fault'; readonly code: string; readonly message: string }
  | { readonly kind: 'unreachable' };

export type CallOutcome<Name extends CallName> =
  | { readonly ok: true; readonly value: CallResults[Name] }
  | { readonly ok: false; readonly error: CallFailure };

export type Connection = 'connecting' | 'connected' | 'lost';

export interface StationClientParts {
  readonly url: string;
  openSocket(url: string): WebSocket;
  onNews(news: News): void;
  onConnection(connection: Connection): void;
}

export interface StationClient {
  call<Name extends CallName>(name: Name, parameters: CallParameters<Name>): Promise<CallOutcome<Name>>;
  /** Hangs up for good. */
  close(): void;
}

/** Nothing heard for this long: the connection counts as lost. The station beats every second. */
export const silenceMilliseconds = 3000;
const firstRetryMilliseconds = 250;
const longestRetryMilliseconds = 2000;

const refusalSchema = z.object({ code: z.string(), field: z.string(), message: z.string() });
const messageSchema = z.union([
  z.object({ id: z.int(), ok: z.literal(true), value: z.unknown() }),
  z.object({ id: z.int(), ok: z.literal(false), refusal: refusalSchema }),
  z.object({
    id: z.int(),
    ok: z.literal(false),
    fault: z.object({ code: z.string(), message: z.string() }),
  }),
  z.object({ news: z.literal('snapshot'), snapshot: z.custom<object>(isObject) }),
  z.object({ news: z.literal('live'), live: z.custom<object>(isObject) }),
  z.object({ news: z.literal('verify'), progress: z.custom<object>(isObject) }),
  z.object({ news: z.literal('export'), progress: z.custom<object>(isObject) }),
  z.object({ news: z.literal('impact'), progress: z.custom<object>(isObject) }),
  z.object({ news: z.literal('beat'), at: z.string() }),
]);

function isObject(value: unknown): value is object {
  return typeof value === 'object' && value !== null;
}

/**
 * The one line to the station. Opens by itself and again after every loss; each opening begins with a snapshot
 * from the station, so nothing needs to be remembered here. A call that was under way when the line broke is not
 * sent again: it answers `unreachable`, and the snapshot shows what became of it.
 */
export function connectToStation(parts: StationClientParts): StationClient {
  let socket: WebSocket | null = null;
  let nextId = 1;
  let retryMilliseconds = firstRetryMilliseconds;
  let silence: ReturnType<typeof setTimeout> | undefined;
  let retry: ReturnType<typeof setTimeout> | undefined;
  let closed = false;
  const waiting = new Map<number, (outcome: CallOutcome<CallName>) => void>();

  function open(): void {
    const opened = parts.openSocket(parts.url);
    socket = opened;
    listenForSilence();
    opened.addEventListener('message', (event) => {
      if (socket === opened) hear(event.data);
    });
    opened.addEventListener('close', () => {
      if (socket === opened) lose();
    });
  }

  function hear(data: unknown): void {
    listenForSilence();
    const message = messageSchema.safeParse(parseJson(data));
    if (!message.success) return;
    if ('id' in message.data) {
      const answer = message.data;
      const settle = waiting.get(answer.id);
      waiting.delete(answer.id);
      if (answer.ok) settle?.({ ok: true, value: answer.value as CallResults[CallName] });
      else if ('refusal' in answer)
        settle?.({ ok: false, error: { kind: 'refusal', refusal: answer.refusal } });
      else settle?.({ ok: false, error: { kind: 'fault', ...answer.fault } });
      return;
    }
    // Page and station come from one build: what is inside the envelope is typed by the contract.
    parts.onNews(message.data as News);
    if (message.data.news !== 'snapshot') return;
    retryMilliseconds = firstRetryMilliseconds;
    parts.onConnection('connected');
  }

  function listenForSilence(): void {
    clearTimeout(silence);
    silence = setTimeout(lose, silenceMilliseconds);
  }

  function lose(): void {
    clearTimeout(silence);
    clearTimeout(retry);
    const old = socket;
    socket = null;
    old?.close();
    for (const settle of waiting.values()) settle({ ok: false, error: { kind: 'unreachable' } });
    waiting.clear();
    if (closed) return;
    parts.onConnection('lost');
    retry = setTimeout(open, retryMilliseconds);
    retryMilliseconds = Math.min(longestRetryMilliseconds, retryMilliseconds * 1.6);
  }

  open();
  return {
    call<Name extends CallName>(name: Name, parameters: CallParameters<Name>) {
      return new Promise<CallOutcome<Name>>((resolve) => {
        if (socket?.readyState !== 1) {
          resolve({ ok: false, error: { kind: 'unreachable' } });
          return;
        }
        const id = nextId++;
        waiting.set(id, (outcome) => resolve(outcome as CallOutcome<Name>));
        socket.send(JSON.stringify({ id, call: name, parameters }));
      });
    },
    close() {
      closed = true;
      lose();
    },
  };
}

function parseJson(data: unknown): unknown {
  if (typeof data !== 'string') return undefined;
  try {
    return JSON.parse(data);
  } catch {
    return undefined;
  }
}
