import { statfs } from 'node:fs/promises';

/** Room for some ten thousand captures, and time to act. Common practice, no source. */
export const lowBytes = 512 * 1024 * 1024;
const lookEveryMilliseconds = 60_000;

export interface DiskWatchParts {
  /** The data folder. */
  readonly folder: string;
  /** Bytes that may still be written there; the default asks the system. */
  readonly freeBytes?: (folder: string) => Promise<number>;
  readonly everyMilliseconds?: number;
  /** There is little room; said again at every look that finds less than half of what was said last. */
  onLow(bytes: number): void;
  /** There is room again. */
  onEnough(): void;
}

export interface DiskWatch {
  /** Looks now. */
  look(): Promise<void>;
  stop(): void;
}

/** Bytes that this user may still write in a folder. */
export async function freeBytesOf(folder: string): Promise<number> {
  const { bavail, bsize } = await statfs(folder);
  return bavail * bsize;
}

/** Looks every minute how much room the disk has. */
export function watchDisk(parts: DiskWatchParts): DiskWatch {
  const { folder, freeBytes = freeBytesOf, everyMilliseconds = lookEveryMilliseconds } = parts;
  let said: number | null = null;

  async function look(): Promise<void> {
    let free: number;
    try {
      free = await freeBytes(folder);
    } catch {
      // A disk that does not answer is reported by whoever writes to it.
      return;
    }
    if (free < lowBytes && (said === null || free < said / 2)) {
      said = free;
      parts.onLow(free);
    } else if (said !== null && free >= lowBytes) {
      said = null;
      parts.onEnough();
    }
  }

  const timer = setInterval(() => void look(), everyMilliseconds);
  timer.unref();
  return { look, stop: () => clearInterval(timer) };
}

/** What a screen and `doctor` say of so little room. */
export function lowDiskSentence(bytes: number): string {
  const megabytes = Math.floor(bytes / 1024 / 1024);
  return `Only ${megabytes} MB are free on the disk of the data folder; make room before it is full.`;
}
