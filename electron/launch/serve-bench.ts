import { setTimeout as wait } from 'node:timers/promises';
import { keepStationRunning } from '../station-process.ts';
import { startStationInNode } from '../station-start.ts';

/**
 * Runs the station without a window and prints its address whenever it has a new one: the same screen, in a browser
 * on this machine. Resolves when `signal` asks to end and the station is gone.
 *
 * @param node the Node program for the station.
 * @param entry the station's module.
 */
export async function serveBench(
  station: {
    readonly node: string;
    readonly entry: string;
    readonly dataFolder: string | undefined;
    readonly emptyFolder: 'demo' | 'ask';
    readonly siteWords: readonly string[];
  },
  signal: AbortSignal,
  say: (line: string) => void,
): Promise<void> {
  const keeper = keepStationRunning({
    start: (args) => startStationInNode(station.node, station.entry, args),
    dataFolder: station.dataFolder,
    emptyFolder: station.emptyFolder,
    siteWords: station.siteWords,
    port: undefined,
    now: () => performance.now(),
    wait: (milliseconds, stop) => wait(milliseconds, undefined, { signal: stop }).catch(() => undefined),
    watcher: {
      onReady(url) {
        say('The bench is served on this machine only; open this address in a browser. Ctrl-C ends it.');
        process.stdout.write(`${url}\n`);
      },
      onKeyStore(name) {
        say(`The station waits for the key store of this account (${name}), which may ask for its password.`);
      },
      onLost(end, _failures, nextTryMilliseconds) {
        say(
          `The station ended (${end.how}); next start in ${nextTryMilliseconds} ms. Captured readings are kept.`,
        );
      },
    },
  });
  if (!signal.aborted)
    await new Promise((resolve) => signal.addEventListener('abort', resolve, { once: true }));
  await keeper.stop();
}
