import { once } from 'node:events';
import { registerHooks } from 'node:module';

/**
 * A station as it is served, in a data folder, until its standard input ends. Prints, as JSON, every module that it
 * loaded and how many threads it runs.
 */
const [folder = ''] = process.argv.slice(2);
const loaded = new Set<string>();
registerHooks({
  resolve(specifier, context, next) {
    const resolved = next(specifier, context);
    loaded.add(resolved.url);
    return resolved;
  },
});
let threads = 0;
process.on('worker', () => {
  threads += 1;
});
const { openStation } = await import('../../electron/station/serve.ts');
const opened = await openStation(folder, 'no-page', undefined, {
  pinHashing: { cost: 16, blockSize: 1, parallelization: 1 },
});
await once(process.stdin.resume(), 'end');
const last = opened.station.store.lastSequence();
await opened.stopWatching();
await opened.station.close();
process.stdout.write(JSON.stringify({ loaded: [...loaded], threads, last }));
