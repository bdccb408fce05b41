import type { Result } from '../../../shared/result.ts';
import { StoreFault, type StoreFaultCode } from '../store/store-fault.ts';
import { startThread, type Thread } from '../thread.ts';
import type { Answer, Question, QuestionParameters } from './reading-room-calls.ts';

/** To the worker. */
export interface RoomRequest {
  readonly id: number;
  readonly name: Question;
  readonly parameters: unknown;
}

/** From the worker, once for each request. */
export type RoomMessage =
  | { readonly id: number; readonly kind: 'answer'; readonly result: unknown }
  | {
      readonly id: number;
      readonly kind: 'fault';
      readonly name: string;
      readonly code: string | null;
      readonly message: string;
    };

/** Where auditors read: a thread with a connection of its own that cannot write. No live reading waits for it. */
export interface ReadingRoom {
  /**
   * @throws StoreFault when the evidence cannot be read, or when the answer takes too long
   */
  ask<Name extends Question>(name: Name, parameters: QuestionParameters<Name>): Promise<Result<Answer<Name>>>;
  close(): Promise<void>;
}

interface Waiting {
  resolve(result: unknown): void;
  reject(error: Error): void;
}

/** No answer at all for this long: the thread is given up, and the next question starts another. */
const longestMilliseconds = 20_000;
const mostWaiting = 64;

/** The reading room of a data folder. Its thread starts with the first question and anew after one that went wrong. */
export function createReadingRoom(folder: string): ReadingRoom {
  let worker: Thread | undefined;
  let nextId = 1;
  let silence: NodeJS.Timeout | undefined;
  const waiting = new Map<number, Waiting>();

  function watch(): void {
    clearTimeout(silence);
    if (waiting.size === 0) return;
    const tooLong = new StoreFault('busy', 'the answer takes too long; ask for less at once');
    silence = setTimeout(() => void leave(tooLong), longestMilliseconds);
    silence.unref();
  }

  function settle(id: number, by: (one: Waiting) => void): void {
    const one = waiting.get(id);
    if (one === undefined) return;
    waiting.delete(id);
    watch();
    if (waiting.size === 0) worker?.unref();
    by(one);
  }

  async function leave(reason: Error): Promise<void> {
    const left = worker;
    worker = undefined;
    for (const id of [...waiting.keys()]) settle(id, ({ reject }) => reject(reason));
    await left?.terminate();
  }

  function start(): Thread {
    const started = startThread(new URL('./reading-room-worker.ts', import.meta.url), { folder });
    started.on('message', (message: RoomMessage) => {
      settle(message.id, ({ resolve, reject }) => {
        if (message.kind === 'answer') resolve(message.result);
        else reject(faultOf(message));
      });
    });
    const ended = (error: Error) => {
      if (worker === started) void leave(error);
    };
    started.on('error', ended);
    started.on('exit', (code) => ended(new Error(`the reading thread ended (${code})`)));
    return started;
  }

  return {
    ask: (name, parameters) =>
      new Promise((resolve, reject) => {
        if (waiting.size >= mostWaiting) {
          reject(new StoreFault('busy', 'too many questions are being answered; try again in a moment'));
          return;
        }
        worker ??= start();
        worker.ref();
        const id = nextId++;
        waiting.set(id, { resolve: (result) => resolve(result as never), reject });
        if (waiting.size === 1) watch();
        worker.postMessage({ id, name, parameters } satisfies RoomRequest);
      }),
    close: () => leave(new Error('the reading room is closed')),
  };
}

function faultOf({ name, code, message }: RoomMessage & { kind: 'fault' }): Error {
  if (name === 'StoreFault' && code !== null) return new StoreFault(code as StoreFaultCode, message);
  return new Error(`${name}: ${message}`);
}
