import { closeSync, fsyncSync, openSync } from 'node:fs';

/** Waits until the content of a file is on the disk. */
export function syncFile(file: string): void {
  sync(file, 'r+');
}

/** Waits until the names in a folder are on the disk, where the system can do that (Windows cannot, and need not). */
export function syncFolder(folder: string): void {
  if (process.platform !== 'win32') sync(folder, 'r');
}

function sync(path: string, flags: 'r' | 'r+'): void {
  const descriptor = openSync(path, flags);
  try {
    fsyncSync(descriptor);
  } finally {
    closeSync(descriptor);
  }
}
