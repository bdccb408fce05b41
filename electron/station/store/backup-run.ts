import { runTask } from '../audit/task.ts';
import type { Backup, BackupOptions } from './backup.ts';

/** Writes and verifies a backup in a worker thread: no live reading waits for it. */
export async function runBackup(options: Omit<BackupOptions, 'verify'>): Promise<Backup> {
  const { folder, target, at, keep } = options;
  const module = new URL('./backup-worker.ts', import.meta.url);
  const backup = await runTask<Backup>({ module, input: { folder, target, at, keep } });
  if (backup === null) throw new Error('a backup is not stopped half-way');
  return backup;
}
