import { parseArgs } from 'node:util';
import { z } from 'zod';
import { endAtMistakes } from './crash-report.ts';
import { defaultDataFolder } from './data-folder.ts';
import { firstRunFolders } from './first-run.ts';
import { serveStation } from './serve.ts';
import { serveFirstRun } from './serve-first-run.ts';
import { storeFaultOf } from './store/store-fault.ts';

/**
 * Entry of the station process. Arguments: `--data DIR`, `--port N`, `--first-run` (ask what an empty data folder
 * shall become; without it the demo). When it is ready it says
 * `{"ready":true,"url":"http://127.0.0.1:PORT/?key=…"}`, once, to whoever started it: over Electron's parent port
 * where there is one, otherwise as one line on standard output. It ends on SIGTERM and when its parent is gone.
 */
const portSchema = z.coerce.number().int().min(0).max(65_535);

interface ParentPort {
  postMessage(message: unknown): void;
}

const { values } = parseArgs({
  options: { data: { type: 'string' }, port: { type: 'string' }, 'first-run': { type: 'boolean' } },
  strict: false,
});
const named = typeof values.data === 'string' ? values.data : process.env.BANDWRIGHT_DATA || undefined;
const dataFolder = named ?? defaultDataFolder(process.env);
const port = portSchema.catch(0).parse(values.port);

try {
  const folders = values['first-run'] === true ? firstRunFolders(named, process.env) : undefined;
  // A crash report would make the folder that is yet to be chosen.
  if (folders === undefined) endAtMistakes(dataFolder);
  const served =
    folders === undefined
      ? await serveStation(dataFolder, port)
      : await serveFirstRun({ folders, onChosen: endAtMistakes }, port);
  let ending = false;
  const end = () => {
    if (ending) return;
    ending = true;
    served.close().then(
      () => process.exit(0),
      () => process.exit(1),
    );
  };
  process.on('SIGTERM', end);
  process.on('SIGINT', end);
  process.on('disconnect', end);
  const ready = { ready: true, url: served.server.address() };
  const parent = (process as { parentPort?: ParentPort }).parentPort;
  if (parent === undefined) process.stdout.write(`${JSON.stringify(ready)}\n`);
  else parent.postMessage(ready);
} catch (error) {
  const fault = storeFaultOf(error);
  process.stderr.write(
    fault === undefined ? `${error instanceof Error ? error.stack : error}\n` : `${fault.message}\n`,
  );
  process.exit(1);
}
