import { parentPort, workerData } from 'node:worker_threads';
import { z } from 'zod';
import { stepBehind } from '../audit/background-thread.ts';
import { commitWaiter } from './commit-signal.ts';
import { runOutboxOf } from './outbox-run.ts';
import { readSiteFile } from './site-file.ts';
import type { SiteSession } from './site-session.ts';

/** The thread of the outbox: reads beside the station and behind it, so that no reading waits for the network. */
const { dataFolder, commits, lookEveryMilliseconds, askEveryMilliseconds } = z
  .object({
    dataFolder: z.string(),
    commits: z.instanceof(SharedArrayBuffer),
    lookEveryMilliseconds: z.number().optional(),
    askEveryMilliseconds: z.number().optional(),
  })
  .parse(workerData);

stepBehind(10);
const end = new AbortController();
parentPort?.on('message', (message: unknown) => {
  if (message === 'end') end.abort();
  if (typeof message === 'object' && message !== null && 'takenUpTo' in message)
    takenUpTo = Number(message.takenUpTo);
});
/** What the station has taken of what the site publishes; null until it says so, or where it takes nothing. */
let takenUpTo: number | null = null;

/** Hands the next publications to the station, which believes what is signed and takes it in its own time. */
async function fetchPublications(session: SiteSession): Promise<void> {
  if (takenUpTo === null) return;
  const publications = await session.publishedSince(takenUpTo, 20);
  if (publications.length > 0) parentPort?.postMessage({ publications });
}
const site = readSiteFile(dataFolder);
if (site.ok && site.value !== null) {
  await runOutboxOf(
    {
      ...{ dataFolder, site: site.value, besides: fetchPublications },
      untilCommit: commitWaiter(commits),
      ...(lookEveryMilliseconds === undefined ? {} : { lookEveryMilliseconds }),
      ...(askEveryMilliseconds === undefined ? {} : { askEveryMilliseconds }),
      onStatus: (status) => parentPort?.postMessage({ status }),
    },
    end.signal,
  );
}
parentPort?.close();
