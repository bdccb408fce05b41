import { existsSync } from 'node:fs';
import type { ServerResponse } from 'node:http';
import { join } from 'node:path';
import { answerCall } from './calls.ts';
import { lowDiskSentence, watchDisk } from './disk-watch.ts';
import { openLog } from './log.ts';
import { sendDownload } from './serve/downloads.ts';
import { requirePageFolder } from './serve/page-folder.ts';
import { remoteOfFile } from './serve/remote-file.ts';
import type { RemoteOptions } from './serve/remote-options.ts';
import type { RemoteServer } from './serve/remote-server.ts';
import { openToOtherDesks } from './serve/remote-station.ts';
import { type ScreenServer, type ScreenServerParts, startScreenServer } from './serve/screen-server.ts';
import type { Session } from './serve/session-book.ts';
import type { SiteLink } from './site/site-link.ts';
import { Station, type StationOptions } from './station.ts';
import { watchBackups } from './store/backup-watch.ts';

export interface ServedStation {
  readonly station: Station;
  readonly server: ScreenServer;
  /** The door for other desks; null while it is shut, as usual. */
  readonly remote: RemoteServer | null;
  close(): Promise<void>;
}

export interface ServeOptions extends Omit<StationOptions, 'dataFolder' | 'log'> {
  /** Opens the station to other desks too, read-only. */
  readonly remote?: RemoteOptions | undefined;
}

/**
 * Starts a station on a data folder and serves its screen on loopback.
 *
 * @throws StoreFault; the error of the system when the address for other desks cannot be listened on
 */
export async function serveStation(
  dataFolder: string,
  port: number,
  { remote: door, ...options }: ServeOptions = {},
): Promise<ServedStation> {
  const pageFolder = requirePageFolder();
  const opened = await openStation(dataFolder, pageFolder, door, options);
  const { station } = opened;
  const server = await startScreenServer({
    pageFolder,
    port,
    sessions: station.sessions,
    wallTime: () => station.clock.wallTime(),
    ...deskOf(station),
  });
  return {
    station,
    server,
    remote: opened.remote,
    async close() {
      await opened.stopWatching();
      await opened.remote?.close();
      await server.close();
      await station.close();
    },
  };
}

/** What screens ask the station for. */
export function deskOf(station: Station): Pick<ScreenServerParts, 'onScreen' | 'answer' | 'sendDocument'> {
  return {
    onScreen: (screen) => station.welcome(screen),
    answer: (screen, call, parameters) => answerCall(station, screen, call, parameters),
    sendDocument: (session, path, response) => sendDocument(station, session, path, response),
  };
}

export interface OpenedStation {
  readonly station: Station;
  readonly remote: RemoteServer | null;
  /** Looks at the disk no more, and pushes nothing more to the site. */
  stopWatching(): Promise<void>;
}

/**
 * Opens a station with what stands around it besides its screens.
 *
 * @throws as `serveStation`
 */
export async function openStation(
  dataFolder: string,
  pageFolder: string,
  door: RemoteOptions | undefined,
  options: Omit<ServeOptions, 'remote'>,
): Promise<OpenedStation> {
  const station = await Station.open({ ...options, dataFolder, log: openLog(dataFolder) });
  const diskWatch = watchDisk({
    folder: dataFolder,
    onLow: (bytes) => station.reportFault('disk_low', lowDiskSentence(bytes)),
    onEnough: () => station.endFaults(['disk_low']),
  });
  void diskWatch.look();
  const backupWatch = watchBackups({
    folder: dataFolder,
    now: () => station.clock.wallTime(),
    onDone: ({ path, sequence }) => station.log.info({ path, sequence }, 'backed up'),
    onTrouble: (why) => station.reportFault('backup_failed', `No backup was made: ${why}.`),
    onTroubleOver: () => station.endFaults(['backup_failed']),
  });
  const remote =
    door === undefined
      ? await openDoorOfFile(station, pageFolder)
      : await openToOtherDesks(station, door, pageFolder).catch(async (error: unknown) => {
          await station.close();
          throw error;
        });
  const site = await beginSite(station);
  return {
    station,
    remote,
    async stopWatching() {
      diskWatch.stop();
      backupWatch.stop();
      await site?.close();
    },
  };
}

/** What goes to a site store is loaded where one is configured, and nowhere else: it must not slow the start. */
async function beginSite(station: Station): Promise<SiteLink | null> {
  if (!existsSync(join(station.dataFolder, 'site.json'))) return null;
  const { startSiteLink } = await import('./site/site-link.ts');
  const { PublicationDesk } = await import('./site/publication-desk.ts');
  return startSiteLink({
    dataFolder: station.dataFolder,
    log: station.log,
    onCommit: station.store.onCommit,
    reportFault: (code, message) => station.reportFault(code, message),
    endFaults: (codes) => station.endFaults(codes),
    openPublications: (siteKey) => new PublicationDesk(station, siteKey),
  });
}

/** A door that cannot be opened as its file asks for is a fault that people see; the bench works on. */
async function openDoorOfFile(station: Station, pageFolder: string): Promise<RemoteServer | null> {
  const asked = await remoteOfFile(station.dataFolder, Date.parse(station.clock.wallTime()));
  const shut = (why: string) => station.reportFault('remote_shut', `Other desks cannot be let in: ${why}.`);
  if (!asked.ok) {
    const { field, message } = asked.error;
    shut(field === '' ? message : `${field}: ${message}`);
    return null;
  }
  if (asked.value === null) return null;
  return openToOtherDesks(station, asked.value, pageFolder).catch((error: unknown) => {
    shut(error instanceof Error ? error.message : String(error));
    return null;
  });
}

async function sendDocument(
  station: Station,
  session: Session,
  path: string,
  response: ServerResponse,
): Promise<boolean> {
  const person = session.personId === null ? undefined : station.people.find({ personId: session.personId });
  if (person === undefined) return false;
  const { dataFolder, audit } = station;
  return sendDownload({ dataFolder, exports: audit.exports }, person, path, response);
}
