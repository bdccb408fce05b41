import { createSystemClock } from '../../../../drivers/port/clock.ts';
import { programVersion } from '../../program-version.ts';
import { sendDownload } from '../../serve/downloads.ts';
import { requirePageFolder } from '../../serve/page-folder.ts';
import { answerRemoteCall } from '../../serve/remote-calls.ts';
import { type Screen, type ScreenServer, startScreenServer } from '../../serve/screen-server.ts';
import { SessionBook } from '../../serve/session-book.ts';
import { storeFaultOf } from '../../store/store-fault.ts';
import type { SiteAccess } from '../site-access.ts';
import { siteFaultOf } from '../site-fault.ts';
import { SiteDesk } from './site-desk.ts';

export interface ServedSiteDesk {
  readonly desk: SiteDesk;
  readonly server: ScreenServer;
  close(): Promise<void>;
}

/**
 * Serves the auditor's desk of a site on this machine alone. Begins also while the site is away: the screen says so,
 * and goes on when it is back.
 *
 * @param onBug hears of mistakes of the program; the screen goes on
 */
export async function serveSiteDesk(
  access: SiteAccess,
  port: number,
  onBug: (error: unknown) => void,
): Promise<ServedSiteDesk> {
  const screens = new Set<Screen>();
  const show = (screen: Screen) => screen.push({ news: 'snapshot', snapshot: desk.snapshot(programVersion) });
  const clock = createSystemClock();
  const wallTime = () => clock.wallTime();
  const desk = new SiteDesk({
    access,
    wallTime,
    onBug,
    onChange() {
      for (const screen of screens) show(screen);
    },
  });
  const { calls } = desk;
  const server = await startScreenServer({
    pageFolder: requirePageFolder(),
    port,
    wallTime,
    sessions: new SessionBook(null),
    onScreen(screen) {
      screens.add(screen);
      show(screen);
      void desk.line.look();
      return () => screens.delete(screen);
    },
    answer: (screen, call, parameters) =>
      answerRemoteCall(
        calls,
        {
          session: { tokenHash: '', openedAt: 0, lastActiveAt: 0, personId: desk.person.personId },
          address: '',
          push: (news) => screen.push(news),
        },
        call,
        parameters,
      ),
    async sendDocument(_session, path, response) {
      const parts = {
        dataFolder: desk.folder,
        exports: desk.exports,
        makeDocument: desk.makeDocument.bind(desk),
      };
      try {
        return await sendDownload(parts, desk.person, path, response);
      } catch (error) {
        // A visit that was altered is not printed, and a site that is away says so on the screen.
        if (siteFaultOf(error) === undefined && storeFaultOf(error) === undefined) onBug(error);
        return false;
      }
    },
  });
  return {
    desk,
    server,
    async close() {
      await server.close();
      await desk.close();
    },
  };
}
