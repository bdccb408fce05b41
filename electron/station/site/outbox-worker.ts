import { parentPort, workerData } from 'node:worker_threads';
import { z } from 'zod';
import { stepBehind } from '../audit/background-thread.ts';
import { runOutboxOf } from './outbox-run.ts';
import { readSiteFile } from './site-file.ts';

/** The thread of the outbox: reads beside the station and behind it, so that no reading waits for the network. */
const { dataFolder } = z.object({ dataFolder: z.string() }).parse(workerData);

stepBehind(10);
const end = new AbortController();
parentPort?.on('message', (message: unknown) => {
  if (message === 'end') end.abort();
});
const site = readSiteFile(dataFolder);
if (site.ok && site.value !== null) {
  await runOutboxOf(
    { dataFolder, site: site.value, onStatus: (status) => parentPort?.postMessage({ status }) },
    end.signal,
  );
}
parentPort?.close();
