import { createSystemClock } from '../../drivers/port/clock.ts';
import { FirstRun, type FirstRunParts } from './first-run.ts';
import { requirePageFolder } from './serve/page-folder.ts';
import { type AnswerBody, type Screen, type ScreenServer, startScreenServer } from './serve/screen-server.ts';
import { SessionBook } from './serve/session-book.ts';
import { deskOf, type OpenedStation, openStation, type ServeOptions } from './serve.ts';
import { storeFaultOf } from './store/store-fault.ts';

export interface ServedFirstRun {
  readonly server: ScreenServer;
  close(): Promise<void>;
}

const lookEveryMilliseconds = 2000;

/**
 * Serves the choice between the demo and a workshop of one's own; once it is made, the station that came of it, to
 * the same screens at the same address.
 */
export async function serveFirstRun(
  parts: FirstRunParts & {
    /** Told the folder once it is chosen, before a station works there. */
    readonly onChosen?: (dataFolder: string) => void;
  },
  port: number,
  { remote: door, ...options }: ServeOptions = {},
): Promise<ServedFirstRun> {
  const pageFolder = requirePageFolder();
  const clock = options.clock ?? createSystemClock();
  const firstRun = new FirstRun({ ...parts, clock });
  const sessions = new SessionBook(null);
  /** Screens that wait for the choice, each with what to do when it goes. */
  const waiting = new Map<Screen, () => void>();
  let opened: OpenedStation | undefined;
  let opening = false;

  const show = () => {
    for (const screen of waiting.keys()) screen.push({ news: 'snapshot', snapshot: firstRun.snapshot() });
  };
  const look = () => {
    firstRun.lookAtPorts().then(
      (isOther) => isOther && opened === undefined && show(),
      // Ports that cannot be listed are none: the doctor says why.
      () => undefined,
    );
  };
  const watch = setInterval(look, lookEveryMilliseconds);
  look();

  async function setUp(screen: Screen, parameters: unknown): Promise<AnswerBody> {
    if (opening || opened !== undefined) return refused('set_up_already', 'It is being set up; wait.');
    opening = true;
    try {
      const done = await firstRun.setUp(parameters);
      if (!done.ok) return { ok: false, refusal: done.error };
      const { dataFolder, personId, keyId } = done.value;
      parts.onChosen?.(dataFolder);
      opened = await openStation(dataFolder, pageFolder, door, options);
      clearInterval(watch);
      opened.station.sessions.takeOver(sessions);
      if (personId !== null) opened.station.signIn(screen.session, personId);
      for (const one of waiting.keys()) waiting.set(one, opened.station.welcome(one));
      return { ok: true, value: { dataFolder, keyId } };
    } catch (error) {
      const fault = storeFaultOf(error);
      if (fault === undefined) throw error;
      return { ok: false, fault: { code: fault.code, message: fault.message } };
    } finally {
      opening = false;
    }
  }

  const server = await startScreenServer({
    pageFolder,
    port,
    wallTime: () => clock.wallTime(),
    sessions: {
      find: (token) => (opened?.station.sessions ?? sessions).find(token),
      admit: (at) => (opened?.station.sessions ?? sessions).admit(at),
    },
    onScreen(screen) {
      if (opened !== undefined) return deskOf(opened.station).onScreen(screen);
      waiting.set(screen, () => undefined);
      screen.push({ news: 'snapshot', snapshot: firstRun.snapshot() });
      return () => {
        waiting.get(screen)?.();
        waiting.delete(screen);
      };
    },
    async answer(screen, call, parameters) {
      if (opened !== undefined) return deskOf(opened.station).answer(screen, call, parameters);
      if (call === 'setUp') return setUp(screen, parameters);
      return refused('not_set_up', 'Nothing is set up here yet; choose first.');
    },
    sendDocument: async (session, path, response) =>
      opened !== undefined && deskOf(opened.station).sendDocument(session, path, response),
  });
  return {
    server,
    async close() {
      clearInterval(watch);
      await opened?.stopWatching();
      await opened?.remote?.close();
      await server.close();
      await opened?.station.close();
    },
  };
}

function refused(code: string, message: string): AnswerBody {
  return { ok: false, refusal: { code, field: 'call', message } };
}
