import { existsSync } from 'node:fs';
import type { ServerResponse } from 'node:http';
import { join } from 'node:path';
import { answerCall } from './calls.ts';
import { openLog } from './log.ts';
import { sendDownload } from './serve/downloads.ts';
import { type ScreenServer, startScreenServer } from './serve/screen-server.ts';
import type { Session } from './serve/session-book.ts';
import { Station, type StationOptions } from './station.ts';

export interface ServedStation {
  readonly station: Station;
  readonly server: ScreenServer;
  close(): Promise<void>;
}

/** Where the built page lies: beside the bundle, or in `out/` when the station runs from its source. */
export function findPageFolder(): string {
  const candidates = [
    join(import.meta.dirname, 'renderer'),
    join(import.meta.dirname, '..', '..', 'out', 'renderer'),
  ];
  const found = candidates.find((folder) => existsSync(join(folder, 'index.html')));
  if (found === undefined) throw new Error('the screen is not built; run npm run build first');
  return found;
}

/** Starts a station on a data folder and serves its screen on loopback. */
export async function serveStation(
  dataFolder: string,
  port: number,
  options: Omit<StationOptions, 'dataFolder' | 'log'> = {},
): Promise<ServedStation> {
  const station = await Station.open({ ...options, dataFolder, log: openLog(dataFolder) });
  const server = await startScreenServer({
    pageFolder: findPageFolder(),
    port,
    sessions: station.sessions,
    wallTime: () => station.clock.wallTime(),
    onScreen: (screen) => station.welcome(screen),
    answer: (screen, call, parameters) => answerCall(station, screen, call, parameters),
    sendDocument: (session, path, response) => sendDocument(station, session, path, response),
  });
  return {
    station,
    server,
    async close() {
      await server.close();
      await station.close();
    },
  };
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
