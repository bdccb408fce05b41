import { setTimeout as wait } from 'node:timers/promises';
import { formatWallTime } from '../../../drivers/port/clock.ts';
import { openDatabaseToRead } from '../store/database.ts';
import { StoreFault } from '../store/store-fault.ts';
import { createLocalChain } from './local-chain.ts';
import { type OutboxParts, type OutboxStatus, runOutbox } from './outbox.ts';
import { siteAccess } from './site-access.ts';
import { SiteFault } from './site-fault.ts';
import type { SiteFile } from './site-file.ts';
import { openSiteSession } from './site-session.ts';
import { noteSiteStatus } from './site-status.ts';

export interface OutboxRunOptions
  extends Pick<
    OutboxParts,
    'besides' | 'limits' | 'untilCommit' | 'lookEveryMilliseconds' | 'askEveryMilliseconds'
  > {
  readonly dataFolder: string;
  readonly site: SiteFile;
  readonly onStatus?: (status: OutboxStatus) => void;
  readonly untilUpToDate?: boolean;
}

/** The file in the data folder is written at every change of state, and this often at most while it goes on. */
const noteEveryMilliseconds = 2000;

/**
 * Runs the outbox of a data folder on a connection of its own that only reads.
 *
 * @throws StoreFault when the database cannot be opened for reading
 */
export async function runOutboxOf(options: OutboxRunOptions, signal: AbortSignal): Promise<OutboxStatus> {
  const { dataFolder, site, onStatus, untilUpToDate = false, ...parts } = options;
  const database = openDatabaseToRead(dataFolder);
  let noted: OutboxStatus['state'] | undefined;
  let notedAt = Number.NEGATIVE_INFINITY;
  const note = (status: OutboxStatus) => {
    noted = status.state;
    notedAt = performance.now();
    noteSiteStatus(dataFolder, { status, at: formatWallTime(Date.now(), 0) });
  };
  try {
    const last = await runOutbox(
      {
        ...parts,
        chain: createLocalChain(database),
        // The files are read anew each time: a password may have been changed.
        async connect() {
          const access = siteAccess(site);
          if (!access.ok)
            throw new SiteFault('not_admitted', `${access.error.field} ${access.error.message}`);
          return openSiteSession(access.value);
        },
        tell(status) {
          onStatus?.(status);
          if (status.state !== noted || performance.now() - notedAt > noteEveryMilliseconds) note(status);
        },
        async pause(milliseconds, ended) {
          await wait(milliseconds, undefined, { signal: ended }).catch(() => undefined);
        },
      },
      signal,
      untilUpToDate,
    );
    if (last.state !== 'connecting') note(last);
    return last;
  } finally {
    database.close();
  }
}

/**
 * The station that a data folder holds.
 *
 * @throws StoreFault `no_database` where nothing was written yet
 */
export function stationIdOf(dataFolder: string): string {
  const database = openDatabaseToRead(dataFolder);
  try {
    const stationId = createLocalChain(database).stationId();
    if (stationId === undefined)
      throw new StoreFault('no_database', 'nothing was written here yet; start the station once');
    return stationId;
  } finally {
    database.close();
  }
}
