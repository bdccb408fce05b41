import { Worker } from 'node:worker_threads';
import { StoreFault, type StoreFaultCode } from '../store/store-fault.ts';
import type { Problem } from './problem.ts';
import type { VerifyProgressCounts, VerifyResult } from './verify.ts';

/** From the worker, in order. */
export type VerifyMessage =
  | { readonly kind: 'problem'; readonly problem: Problem }
  | { readonly kind: 'progress'; readonly progress: VerifyProgressCounts }
  | { readonly kind: 'result'; readonly result: VerifyResult }
  | { readonly kind: 'stopped' }
  | { readonly kind: 'fault'; readonly name: string; readonly code: string | null; readonly message: string };

export interface VerifyRunOptions {
  readonly folder: string;
  readonly trustedKeys?: readonly string[];
  readonly onProblem: (problem: Problem) => void;
  readonly onProgress?: (progress: VerifyProgressCounts) => void;
  readonly signal?: AbortSignal;
}

/**
 * Verifies a data folder in a worker thread on a connection of its own, so that no live reading waits for it.
 *
 * @returns the result; null when `signal` stopped it
 * @throws StoreFault where there is nothing to verify
 */
export function runVerify(options: VerifyRunOptions): Promise<VerifyResult | null> {
  const { folder, trustedKeys = [], onProblem, onProgress, signal } = options;
  const stop = new SharedArrayBuffer(4);
  const worker = new Worker(new URL('./verify-worker.ts', import.meta.url), {
    workerData: { folder, trustedKeys, stop },
  });
  const ask = () => Atomics.store(new Int32Array(stop), 0, 1);
  signal?.addEventListener('abort', ask, { once: true });
  if (signal?.aborted === true) ask();
  return new Promise<VerifyResult | null>((resolve, reject) => {
    worker.on('message', (message: VerifyMessage) => {
      if (message.kind === 'problem') onProblem(message.problem);
      if (message.kind === 'progress') onProgress?.(message.progress);
      if (message.kind === 'result') resolve(message.result);
      if (message.kind === 'stopped') resolve(null);
      if (message.kind === 'fault') reject(faultOf(message));
    });
    worker.on('error', reject);
    worker.on('exit', (code) => reject(new Error(`the verification ended without a result (${code})`)));
  }).finally(() => signal?.removeEventListener('abort', ask));
}

function faultOf({ name, code, message }: VerifyMessage & { kind: 'fault' }): Error {
  if (name === 'StoreFault' && code !== null) return new StoreFault(code as StoreFaultCode, message);
  return new Error(`${name}: ${message}`);
}
