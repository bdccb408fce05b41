import { type ChildProcess, fork } from 'node:child_process';
import { chmodSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import type { Told } from './told.ts';

/** A working station in a process of its own. */
export interface StationChild {
  readonly process: ChildProcess;
  /** Milliseconds from its start until it held the folder and every job. */
  readonly ready: Promise<number>;
  /** Resolves when it is gone. */
  readonly exited: Promise<{ readonly code: number | null; readonly signal: string | null }>;
}

/** Starts `working-station.ts`; what it tells goes to `onTold`. */
export function startStationChild(
  folder: string,
  words: readonly string[],
  onTold: (told: Told) => void,
): StationChild {
  const startedAt = performance.now();
  const child = fork(join(import.meta.dirname, 'working-station.ts'), ['--data', folder, ...words], {
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
    env: besideFolder(folder),
  });
  const exited = new Promise<{ code: number | null; signal: string | null }>((resolve) =>
    child.once('exit', (code, signal) => resolve({ code, signal })),
  );
  const ready = new Promise<number>((resolve, reject) => {
    child.on('message', (told: Told) => {
      if (told.kind === 'ready') resolve(performance.now() - startedAt);
      onTold(told);
    });
    void exited.then(({ code }) => reject(new Error(`the station ended by itself (${code})`)));
  });
  ready.catch(() => undefined);
  return { process: child, ready, exited };
}

/** The environment of a station that is killed: what it leaves behind for a while goes with its folder. */
export function besideFolder(folder: string): NodeJS.ProcessEnv {
  return { ...process.env, TMPDIR: dirname(folder) };
}

/** Runs work with a folder of its own. */
export async function withFolder<Value>(work: (folder: string) => Promise<Value>): Promise<Value> {
  const around = mkdtempSync(join(tmpdir(), 'bandwright-faults-'));
  // One test hands its folder to another user, who has to get there.
  chmodSync(around, 0o711);
  const folder = join(around, 'data');
  mkdirSync(folder);
  try {
    return await work(folder);
  } finally {
    rmSync(around, { recursive: true, force: true });
  }
}
