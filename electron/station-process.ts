import type { StationFault } from './station-message.ts';

/** A station process that was started. */
export interface StationRun {
  /** Resolves with the address and one-time key; never when the process ends before. */
  readonly ready: Promise<string>;
  /** Resolves with the name of the system's key store when its answer is waited for; never where none is asked. */
  readonly waitsForKeyStore: Promise<string>;
  /** Resolves when the process is gone, with the last words it said. */
  readonly ended: Promise<StationEnd>;
  /** Asks it to end. */
  stop(): void;
  /** Ends it at once. */
  kill(): void;
}

export interface StationEnd {
  /** For people: "exit code 1" or "signal SIGKILL". */
  readonly how: string;
  /** The last line on its standard error, `''` if it said nothing. */
  readonly lastWords: string;
  /** Why it could not start, where it said so. */
  readonly fault?: StationFault | undefined;
}

/** Told what becomes of the station. */
export interface StationWatcher {
  /** The station answers at this address. */
  onReady(url: string): void;
  /** It waits for the system's key store, which may wait for a person. */
  onKeyStore(name: string): void;
  /** It ended unasked and is started again in `nextTryMilliseconds`; `failures` in a row so far, 1 for the first. */
  onLost(end: StationEnd, failures: number, nextTryMilliseconds: number): void;
}

export interface StationKeeper {
  /** Ends the station for good; resolves when it is gone. */
  stop(): Promise<void>;
}

/** Where the keeper gets processes and time from. */
export interface StationKeeperParts {
  /** Starts a station process with these arguments. */
  start(args: readonly string[]): StationRun;
  readonly dataFolder: string | undefined;
  /** What an empty data folder becomes; left out: the demo. */
  readonly emptyFolder?: 'demo' | 'ask';
  /** Words that make it the desk of a site; left out: a bench. */
  readonly siteWords?: readonly string[];
  /** The port to ask for at the first start. */
  readonly port: number | undefined;
  readonly watcher: StationWatcher;
  /** Milliseconds that only go forward. */
  now(): number;
  /** Resolves after this time, or at once when the signal fires. */
  wait(milliseconds: number, signal: AbortSignal): Promise<void>;
}

const firstDelayMilliseconds = 200;
const longestDelayMilliseconds = 5_000;
const settledMilliseconds = 10_000;
const startUpLimitMilliseconds = 60_000;
const stopLimitMilliseconds = 3_000;

/** How long to wait before start number `failures` + 1: 0.2 s, doubling, at most 5 s. */
export function restartDelayMilliseconds(failures: number): number {
  return Math.min(longestDelayMilliseconds, firstDelayMilliseconds * 2 ** (failures - 1));
}

/**
 * Starts the station and starts it again whenever it ends unasked, on the same port where that is free. A station
 * that answered for ten seconds counts as well: the next restart is quick again.
 */
export function keepStationRunning(parts: StationKeeperParts): StationKeeper {
  const stopping = new AbortController();
  let run: StationRun | undefined;

  async function live(): Promise<void> {
    let failures = 0;
    let port = parts.port;
    while (!stopping.signal.aborted) {
      run = parts.start([
        ...(parts.dataFolder === undefined ? [] : ['--data', parts.dataFolder]),
        ...(port === undefined ? [] : ['--port', String(port)]),
        ...(parts.emptyFolder === 'ask' ? ['--first-run'] : []),
        ...(parts.siteWords ?? []),
      ]);
      const current = run;
      const lateness = new AbortController();
      let readyAt: number | undefined;
      void current.ready.then((url) => {
        lateness.abort();
        if (stopping.signal.aborted) return;
        readyAt = parts.now();
        port = Number(new URL(url).port);
        parts.watcher.onReady(url);
      });
      void current.waitsForKeyStore.then((name) => {
        if (!stopping.signal.aborted && !lateness.signal.aborted) parts.watcher.onKeyStore(name);
      });
      void parts.wait(startUpLimitMilliseconds, lateness.signal).then(() => {
        if (!lateness.signal.aborted) current.kill();
      });
      const end = await current.ended;
      lateness.abort();
      if (stopping.signal.aborted) return;
      const wasSettled = readyAt !== undefined && parts.now() - readyAt >= settledMilliseconds;
      failures = wasSettled ? 1 : failures + 1;
      const delay = restartDelayMilliseconds(failures);
      parts.watcher.onLost(end, failures, delay);
      await parts.wait(delay, stopping.signal);
    }
  }

  const life = live();
  return {
    async stop() {
      stopping.abort();
      const late = new AbortController();
      run?.stop();
      void parts.wait(stopLimitMilliseconds, late.signal).then(() => {
        if (!late.signal.aborted) run?.kill();
      });
      await life;
      late.abort();
    },
  };
}
