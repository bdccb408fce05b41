import { statSync } from 'node:fs';

/** The rights of a file or folder, as `640`. */
export function modeOf(path: string): string {
  return (statSync(path).mode & 0o777).toString(8).padStart(3, '0');
}

/** True where other users than the owner may do anything with it. Windows has no such modes. */
export function isOpenToOthers(path: string): boolean {
  return process.platform !== 'win32' && (statSync(path).mode & 0o077) !== 0;
}
