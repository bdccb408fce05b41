import { parentPort, workerData } from 'node:worker_threads';
import { StoreFault, type StoreFaultCode } from '../store/store-fault.ts';
import { startThread } from '../thread.ts';
import { stepBehind } from './background-thread.ts';

/** From the worker of a task, in order. */
type TaskMessage =
  | { readonly kind: 'item'; readonly item: unknown }
  | { readonly kind: 'progress'; readonly progress: unknown }
  | { readonly kind: 'result'; readonly result: unknown }
  | { readonly kind: 'stopped' }
  | { readonly kind: 'fault'; readonly name: string; readonly code: string | null; readonly message: string };

export interface TaskOptions {
  /** The worker's module, a neighbour named by `new URL(…, import.meta.url)`; the build carries it along. */
  readonly module: URL;
  readonly input: object;
  readonly onItem?: (item: never) => void;
  readonly onProgress?: ((progress: never) => void) | undefined;
  readonly signal?: AbortSignal | undefined;
}

/**
 * Runs long reading work in a worker thread on a connection of its own, so that no live reading waits for it.
 *
 * @returns the result; null when `signal` stopped it
 * @throws StoreFault from the worker
 */
export function runTask<Result>(options: TaskOptions): Promise<Result | null> {
  const { module, input, onItem, onProgress, signal } = options;
  const stop = new SharedArrayBuffer(4);
  const worker = startThread(module, { input, stop });
  const ask = () => Atomics.store(new Int32Array(stop), 0, 1);
  signal?.addEventListener('abort', ask, { once: true });
  if (signal?.aborted === true) ask();
  return new Promise<Result | null>((resolve, reject) => {
    worker.on('message', (message: TaskMessage) => {
      if (message.kind === 'item') onItem?.(message.item as never);
      if (message.kind === 'progress') onProgress?.(message.progress as never);
      if (message.kind === 'result') resolve(message.result as Result);
      if (message.kind === 'stopped') resolve(null);
      if (message.kind === 'fault') reject(faultOf(message));
    });
    worker.on('error', reject);
    worker.on('exit', (code) => reject(new Error(`the worker ended without a result (${code})`)));
  }).finally(() => signal?.removeEventListener('abort', ask));
}

function faultOf({ name, code, message }: TaskMessage & { kind: 'fault' }): Error {
  if (name === 'StoreFault' && code !== null) return new StoreFault(code as StoreFaultCode, message);
  return new Error(`${name}: ${message}`);
}

/** Progress is told this often at most. */
const everyMilliseconds = 100;

/**
 * The worker's side: does the work of `runTask`, step by step, until it is done or stopped.
 *
 * @param start makes the work from the input; `tell` hands items to the other side as they are found
 */
export async function serveTask(
  start: (
    input: unknown,
    tell: (item: unknown) => void,
  ) => Iterator<unknown, unknown> | Promise<Iterator<unknown, unknown>>,
): Promise<void> {
  stepBehind(10);
  const post = (message: TaskMessage) => parentPort?.postMessage(message);
  const { input, stop } = workerData as { input: unknown; stop: SharedArrayBuffer };
  const stopped = new Int32Array(stop);
  try {
    const steps = await start(input, (item) => post({ kind: 'item', item }));
    let told = 0;
    for (;;) {
      const step = steps.next();
      if (step.done === true) {
        post({ kind: 'result', result: step.value });
        return;
      }
      if (Atomics.load(stopped, 0) !== 0) {
        steps.return?.();
        post({ kind: 'stopped' });
        return;
      }
      const now = performance.now();
      if (now - told < everyMilliseconds) continue;
      told = now;
      post({ kind: 'progress', progress: step.value });
    }
  } catch (error) {
    const fault = error instanceof Error ? error : new Error(String(error));
    const code = 'code' in fault ? String(fault.code) : null;
    post({ kind: 'fault', name: fault.name, code, message: fault.message });
  }
}
