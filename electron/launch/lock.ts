import { mkdir, rm, stat, utimes } from 'node:fs/promises';
import { dirname } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';

const heartbeatMilliseconds = 2_000;
const staleMilliseconds = 20_000;

/**
 * Runs `work` while holding `folder` as a lock, so that two starts at once do not do the same long step twice.
 * A holder that died stops touching the lock; after 20 s it is taken over.
 *
 * @param onWait told once when another process holds the lock.
 */
export async function withLock<Value>(
  folder: string,
  onWait: () => void,
  work: () => Promise<Value>,
): Promise<Value> {
  await mkdir(dirname(folder), { recursive: true });
  for (let told = false; !(await take(folder)); told = true) {
    if (!told) onWait();
    await wait(250);
  }
  const heartbeat = setInterval(() => {
    const now = new Date();
    utimes(folder, now, now).catch(() => undefined);
  }, heartbeatMilliseconds);
  try {
    return await work();
  } finally {
    clearInterval(heartbeat);
    await rm(folder, { recursive: true, force: true });
  }
}

async function take(folder: string): Promise<boolean> {
  try {
    await mkdir(folder);
    return true;
  } catch (error) {
    if (!(error instanceof Error && 'code' in error && error.code === 'EEXIST')) throw error;
  }
  const touched = await stat(folder).then(
    (found) => found.mtimeMs,
    () => undefined,
  );
  if (touched !== undefined && Date.now() - touched > staleMilliseconds) {
    await rm(folder, { recursive: true, force: true });
  }
  return false;
}
