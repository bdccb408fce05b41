import { parentPort, workerData } from 'node:worker_threads';
import { z } from 'zod';
import { stationReplay } from '../audit/station-replay.ts';
import { verifyFolder } from '../audit/verify-folder.ts';
import { writeBackup } from './backup.ts';
import type { BackupMessage } from './backup-run.ts';

const inputSchema = z.object({
  folder: z.string(),
  target: z.string(),
  at: z.string(),
  keep: z.int().positive(),
});

function verify(folder: string) {
  const steps = verifyFolder({ folder, trustedKeys: [], replay: stationReplay, onProblem: () => undefined });
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value;
  }
}

function post(message: BackupMessage): void {
  parentPort?.postMessage(message);
}

try {
  post({ kind: 'backup', backup: await writeBackup({ ...inputSchema.parse(workerData), verify }) });
} catch (error) {
  const fault = error instanceof Error ? error : new Error(String(error));
  const code = 'code' in fault ? String(fault.code) : null;
  post({ kind: 'fault', name: fault.name, code, message: fault.message });
}
