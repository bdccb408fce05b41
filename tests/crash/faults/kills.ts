import { setTimeout as wait } from 'node:timers/promises';
import type { Random } from '../../../drivers/simulated/random.ts';
import { openEvidence } from '../../../electron/station/store/open-store.ts';
import { loadDemoWorkshop } from '../../../seeds/index.ts';
import { interruption } from './interruption.ts';
import { complaintsOf, Ledger } from './ledger.ts';
import type { FaultRow } from './row.ts';
import { startStationChild, withFolder } from './station-child.ts';

/** A station is killed after so many commands at most … */
const mostCommands = 30;
/** … and then a little later: within a commit, or between two. */
const mostMilliseconds = 4;

/** The station is killed without warning while it works, again and again on the same data. */
export function killStation(rounds: number, random: Random): Promise<FaultRow> {
  return withFolder(async (folder) => {
    const ledger = new Ledger();
    const recovered: number[] = [];
    let unheard = 0;
    const begun = ['--begun', String(Date.now())];
    let isLast = false;
    for (let round = 0; !isLast; round += 1) {
      isLast = round === rounds || interruption.signal.aborted;
      let commandsLeft = 1 + Math.floor(random.next() * mostCommands);
      const kill = async () => {
        await wait(random.next() * mostMilliseconds);
        child.process.kill('SIGKILL');
      };
      const child = startStationChild(folder, begun, (told) => {
        if (told.kind !== 'acknowledged') return;
        ledger.note(told);
        commandsLeft -= 1;
        if (commandsLeft === 0) void kill();
      });
      const milliseconds = await child.ready;
      // The first start had nothing to recover from; after the last kill one more start shows that all is well.
      if (round > 0) recovered.push(milliseconds);
      if (isLast) child.process.kill('SIGKILL');
      const { signal } = await child.exited;
      if (signal !== 'SIGKILL') throw new Error('the station ended by itself');
      if (ledger.check(folder) > 0) unheard += 1;
    }
    return {
      fault: 'station killed (kill -9) while it works',
      rounds: recovered.length,
      acknowledged: ledger.acknowledged,
      captures: ledger.captures,
      ...ledger.close(folder),
      recoveredMilliseconds: recovered,
      note: `until every job is back; ${unheard} hit between commit and acknowledgement`,
    };
  });
}

/** The very first start is killed while it makes keys, schema and the demo workshop; the next one completes it. */
export async function killFirstStart(rounds: number, random: Random): Promise<FaultRow> {
  const complaints: string[] = [];
  const recovered: number[] = [];
  let longest = 1000;
  let round = 0;
  for (; round < rounds && !interruption.signal.aborted; round += 1) {
    await withFolder(async (folder) => {
      const first = startStationChild(folder, [], () => undefined);
      const isReady = first.ready.then(
        (milliseconds) => {
          longest = milliseconds;
        },
        () => undefined,
      );
      // Half of the time is spent before the folder is touched.
      await Promise.race([isReady, wait(longest * (0.4 + 0.6 * random.next()))]);
      first.process.kill('SIGKILL');
      await first.exited;
      const second = startStationChild(folder, [], () => undefined);
      await second.ready.then(
        (milliseconds) => recovered.push(milliseconds),
        (error: Error) => complaints.push(`the second start: ${error.message}`),
      );
      second.process.kill('SIGKILL');
      await second.exited;
      complaints.push(...complaintsOf(folder), ...missingFromWorkshop(folder));
    });
  }
  return {
    fault: 'station killed in its very first start',
    rounds: round,
    acknowledged: 0,
    captures: 0,
    lost: 0,
    duplicated: 0,
    recoveredMilliseconds: recovered,
    complaints,
    note: 'the next start completes the set-up',
  };
}

function missingFromWorkshop(folder: string): string[] {
  const demo = loadDemoWorkshop();
  const reader = openEvidence(folder);
  try {
    const wanted = [
      ...demo.people.map(({ personId }) => `person/${personId}`),
      ...demo.instruments.map(({ instrumentId }) => `instrument/${instrumentId}`),
      ...demo.lots.map(({ lotId }) => `lot/${lotId}`),
      'workshop',
    ];
    return wanted.filter((stream) => reader.versionOf(stream) === 0).map((stream) => `${stream} is missing`);
  } finally {
    reader.close();
  }
}
