import { parentPort, workerData } from 'node:worker_threads';
import { z } from 'zod';
import { stationReplay } from './station-replay.ts';
import { verifyFolder } from './verify-folder.ts';
import type { VerifyMessage } from './verify-run.ts';

const inputSchema = z.object({
  folder: z.string(),
  trustedKeys: z.array(z.string()),
  stop: z.instanceof(SharedArrayBuffer),
});

/** Progress is told this often at most. */
const everyMilliseconds = 100;

function post(message: VerifyMessage): void {
  parentPort?.postMessage(message);
}

function run(): void {
  const { folder, trustedKeys, stop } = inputSchema.parse(workerData);
  const stopped = new Int32Array(stop);
  const steps = verifyFolder({
    folder,
    trustedKeys,
    replay: stationReplay,
    onProblem: (problem) => post({ kind: 'problem', problem }),
  });
  let told = 0;
  for (;;) {
    const step = steps.next();
    if (step.done === true) {
      post({ kind: 'result', result: step.value });
      return;
    }
    if (Atomics.load(stopped, 0) !== 0) {
      post({ kind: 'stopped' });
      return;
    }
    const now = performance.now();
    if (now - told < everyMilliseconds) continue;
    told = now;
    post({ kind: 'progress', progress: step.value });
  }
}

try {
  run();
} catch (error) {
  const fault = error instanceof Error ? error : new Error(String(error));
  const code = 'code' in fault ? String(fault.code) : null;
  post({ kind: 'fault', name: fault.name, code, message: fault.message });
}
