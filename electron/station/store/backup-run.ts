import { Worker } from 'node:worker_threads';
import type { Backup, BackupOptions } from './backup.ts';
import { StoreFault, type StoreFaultCode } from './store-fault.ts';

/** From the worker, once. */
export type BackupMessage =
  | { readonly kind: 'backup'; readonly backup: Backup }
  | { readonly kind: 'fault'; readonly name: string; readonly code: string | null; readonly message: string };

/** Writes and verifies a backup in a worker thread: no live reading waits for it. */
export function runBackup(options: Omit<BackupOptions, 'verify'>): Promise<Backup> {
  const { folder, target, at, keep } = options;
  const worker = new Worker(new URL('./backup-worker.ts', import.meta.url), {
    workerData: { folder, target, at, keep },
  });
  return new Promise((resolve, reject) => {
    worker.on('message', (message: BackupMessage) => {
      if (message.kind === 'backup') resolve(message.backup);
      else if (message.name === 'StoreFault')
        reject(new StoreFault(message.code as StoreFaultCode, message.message));
      else reject(new Error(`${message.name}: ${message.message}`));
    });
    worker.on('error', reject);
    worker.on('exit', (code) => reject(new Error(`the backup ended without a result (${code})`)));
  });
}
