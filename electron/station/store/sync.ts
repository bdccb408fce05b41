import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';

/** Waits until the content of a file is on the disk. */
export function syncFile(file: string): void {
  sync(file, 'r+');
}

/** Waits until the names in a folder are on the disk, where the system can do that (Windows cannot, and need not). */
export function syncFolder(folder: string): void {
  if (process.platform !== 'win32') sync(folder, 'r');
}

/** Puts a file of its owner alone (mode 0600) in its place: whole and on the disk, or as it was before. */
export function writeDurably(file: string, text: string): void {
  const draft = `${file}.new`;
  rmSync(draft, { force: true });
  writeFileSync(draft, text, { flag: 'wx', mode: 0o600 });
  syncFile(draft);
  renameSync(draft, file);
  syncFolder(dirname(file));
}

function sync(path: string, flags: 'r' | 'r+'): void {
  const descriptor = openSync(path, flags);
  try {
    fsyncSync(descriptor);
  } finally {
    closeSync(descriptor);
  }
}
