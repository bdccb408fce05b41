import { readlinkSync } from 'node:fs';
import { availableParallelism, setPriority } from 'node:os';

/**
 * Puts the calling thread behind the others of this program where the system can do that for a single thread (Linux):
 * when the processors are all busy, the live readings of the main thread come first. Elsewhere nothing happens.
 *
 * @param niceness 0 to 19, as `nice` has it
 */
export function stepBehind(niceness: number): void {
  if (process.platform !== 'linux') return;
  try {
    // `PID/task/TID` of whoever asks; Linux takes the number of a thread where others take that of a process.
    const thread = Number(readlinkSync('/proc/thread-self').split('/').at(-1));
    if (Number.isInteger(thread) && thread !== process.pid) setPriority(thread, niceness);
  } catch {
    // Without /proc, or where it is forbidden: the work is done at the usual priority.
  }
}

/** How many threads may work beside a bench or a desk: one processor is left to it. */
export function threadsBesideWork(): number {
  return Math.max(1, availableParallelism() - 1);
}
