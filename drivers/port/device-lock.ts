import { readFile, stat } from 'node:fs/promises';

/** A program that holds the lock of a device. */
export interface LockHolder {
  readonly processId: number;
  /** Name of the program, where the system tells it. */
  readonly program?: string;
}

/**
 * Looks who holds the advisory lock of a device, without opening it: an attempt to open a locked port fails only
 * after it has changed the parity and stop bits of the program that uses it (measured). Linux only; elsewhere, and
 * for programs that lock otherwise, it finds nobody.
 */
export async function findLockHolder(path: string): Promise<LockHolder | undefined> {
  if (process.platform !== 'linux') return undefined;
  try {
    const [locks, device] = await Promise.all([readFile('/proc/locks', 'utf8'), stat(path)]);
    const processId = parseLockHolder(locks, device.dev, device.ino);
    if (processId === undefined) return undefined;
    const program = await readFile(`/proc/${processId}/comm`, 'utf8').catch(() => '');
    return { processId, ...(program.trim() === '' ? {} : { program: program.trim() }) };
  } catch {
    return undefined;
  }
}

/**
 * Finds a whole-file lock (`flock`) in the text of `/proc/locks`, whose lines look like
 * `1: FLOCK  ADVISORY  WRITE 812 00:18:5 0 EOF` (proc_locks(5): process, major:minor in hexadecimal, inode).
 */
export function parseLockHolder(locks: string, device: number, inode: number): number | undefined {
  const major = ((device >> 8) & 0xfff).toString(16).padStart(2, '0');
  const minor = ((device & 0xff) | ((device >> 12) & 0xfff00)).toString(16).padStart(2, '0');
  const file = `${major}:${minor}:${inode}`;
  for (const line of locks.split('\n')) {
    const words = line.trim().split(/\s+/);
    if (words[1] === 'FLOCK' && words[5] === file) return Number(words[4]);
  }
  return undefined;
}
