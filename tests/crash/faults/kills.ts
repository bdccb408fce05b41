import { setTimeout as wait } from 'node:timers/promises';
import type { Random } from '../../../drivers/simulated/random.ts';
import { openEvidence } from '../../../electron/station/store/open-store.ts';
import { loadDemoWorkshop } from '../../../seeds/index.ts';
import { complaintsOf, Ledger } from './ledger.ts';
import type { FaultRow } from './row.ts';
import { startStationChild, withFolder } from './station-child.ts';

/** Longest time that a station works before it is killed. */
const longestLife = 900;

/** The station is killed without warning while it works, again and again on the same data. */
export function killStation(rounds: number, random: Random): Promise<FaultRow> {
  return withFolder(async (folder) => {
    const ledger = new Ledger();
    const recovered: number[] = [];
    for (let round = 0; round <= rounds; round += 1) {
      const child = startStationChild(folder, [], (told) => {
        if (told.kind === 'acknowledged') ledger.note(told);
      });
      const milliseconds = await child.ready;
      // The first start had nothing to recover from.
      if (round > 0) recovered.push(milliseconds);
      if (round < rounds) await wait(random.next() * longestLife);
      child.process.kill('SIGKILL');
      await child.exited;
      ledger.check(folder);
    }
    return {
      fault: 'station killed (kill -9) while it works',
      rounds,
      acknowledged: ledger.acknowledged,
      captures: ledger.captures,
      ...ledger.close(folder),
      recoveredMilliseconds: recovered,
      note: 'process start until every job is back',
    };
  });
}

/** The very first start is killed while it makes keys, schema and the demo workshop; the next one completes it. */
export async function killFirstStart(rounds: number, random: Random): Promise<FaultRow> {
  const complaints: string[] = [];
  const recovered: number[] = [];
  let longest = 1000;
  for (let round = 0; round < rounds; round += 1) {
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
    rounds,
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
