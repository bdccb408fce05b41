import { personView } from '../snapshot.ts';
import type { Station } from '../station.ts';
import { sendDownload } from './downloads.ts';
import type { RemoteDesk } from './remote-calls.ts';
import type { RemoteOptions } from './remote-options.ts';
import { type RemoteServer, startRemoteServer } from './remote-server.ts';
import { RemoteSessions } from './remote-sessions.ts';
import { RemoteSignIn } from './remote-sign-in.ts';

/** Opens a station to other desks. What they can reach of it is written down here and nowhere else. */
export function openToOtherDesks(
  station: Station,
  options: RemoteOptions,
  pageFolder: string,
): Promise<RemoteServer> {
  const { audit, clock, people, dataFolder } = station;
  const now = () => clock.nowMilliseconds();
  const sessions = new RemoteSessions(now);
  const door = new RemoteSignIn({ people, log: station.log, now, pinHashing: station.pinHashing });
  const personIn: RemoteDesk['personIn'] = (session) => {
    const personId = sessions.personIn(session);
    return personId === null ? undefined : people.find({ personId });
  };
  const desk: RemoteDesk = {
    readingRoom: audit.readingRoom,
    savedViews: audit.savedViews,
    exports: audit.exports,
    startExport: (personId, wish, tell) => audit.startExport(personId, wish, tell),
    startImpact: (personId, wish, tell) => audit.startImpact(personId, wish, tell),
    startVerify: (personId, tell) =>
      station.startVerify(personId, {
        push(news) {
          if (news.news === 'verify') tell(news.progress);
        },
      }),
    stopVerify: (personId) => station.stopVerify(personId),
    personIn,
    async signIn({ session, address }, who, pin) {
      const person = await door.signIn({ who, pin }, address);
      if (person.ok) sessions.signIn(session, person.value.personId);
      return person;
    },
    signOut: ({ session }) => sessions.signIn(session, null),
    reportBug: (error) => station.reportBug(error),
  };
  return startRemoteServer({
    options,
    pageFolder,
    sessions,
    desk,
    now,
    wallTime: () => clock.wallTime(),
    snapshot(session) {
      const person = personIn(session);
      return {
        ...station.about,
        readOnly: true,
        signedIn: person === undefined ? null : personView(person),
        ...{ people: [], instruments: [], openJobs: [], faults: [] },
        assigned: { scale: null, wrench: null },
        jobInHand: null,
      };
    },
    sendDownload: (person, path, response) =>
      sendDownload({ dataFolder, exports: audit.exports }, person, path, response),
  });
}
