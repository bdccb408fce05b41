import { join } from 'node:path';
import { startStationInNode } from '../../../electron/station-start.ts';

/** Stands for Electron's main process: starts the station as it does, passes its address on, and is killed. */
const entry = join(import.meta.dirname, '..', '..', '..', 'electron', 'station', 'main.ts');
const run = startStationInNode(process.execPath, entry, process.argv.slice(2));
run.ready.then((url) => process.stdout.write(`${JSON.stringify({ url })}\n`));
await run.ended;
