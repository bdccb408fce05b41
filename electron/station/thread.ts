import { setFlagsFromString } from 'node:v8';
import { Worker } from 'node:worker_threads';

export type Thread = Worker;

/**
 * Starts a worker thread of this program.
 *
 * From source, Node strips the types in each thread with WebAssembly, and V8 frees code of that which several threads
 * share while one still uses it: the process ends with SIGSEGV or SIGTRAP, in a quarter of all runs of a hundred
 * threads, three at a time (Node 24.21; nodejs/node issue 64500 is of this kind). Nothing is freed there, then. The
 * built program has no types to strip.
 *
 * @param module the thread's module, a neighbour of the caller named by `new URL(…, import.meta.url)`
 * @param workerData plain data
 */
export function startThread(module: URL, workerData: object): Thread {
  if (module.pathname.endsWith('.ts')) setFlagsFromString('--no-wasm-code-gc');
  return new Worker(module, { workerData });
}
