import { openEvidence } from '../../../electron/station/store/open-store.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import type { Jump } from './jumpy-clock.ts';
import { Ledger } from './ledger.ts';
import type { FaultRow } from './row.ts';
import { startStationChild, withFolder } from './station-child.ts';

/** A jump shorter than this is what time servers do all day. */
const noticed = 2000;

/** Somebody sets the clock before every command: order stays, the time is as the clock had it, jumps are noted. */
export function jumpTheClock(rounds: number): Promise<FaultRow> {
  return withFolder(async (folder) => {
    const ledger = new Ledger();
    const jumps: Jump[] = [];
    const order: string[] = [];
    const words = ['--jumps', '--rounds', String(rounds), '--jobs', '6'];
    const child = startStationChild(folder, words, (told) => {
      if (told.kind === 'jump') jumps.push(told);
      if (told.kind !== 'acknowledged') return;
      ledger.note(told);
      order.push(String(told.hash));
    });
    const { code } = await child.exited;
    const outcome = ledger.close(folder);
    const complaints = [...outcome.complaints, ...checkOrder(folder, order), ...checkJumps(folder, jumps)];
    if (code !== 0) complaints.push(`the station ended with code ${code}`);
    return {
      fault: 'wall clock set back, forward, nudged, daylight saving',
      rounds: jumps.length,
      acknowledged: ledger.acknowledged,
      captures: ledger.captures,
      ...outcome,
      recoveredMilliseconds: [],
      complaints,
      note: `${jumps.filter(isNoticed).length} jumps noted, order by sequence`,
    };
  });
}

function isNoticed({ byMilliseconds }: Jump): boolean {
  return Math.abs(byMilliseconds) >= noticed;
}

/** What was acknowledged first stands first, whatever the clock said. */
function checkOrder(folder: string, order: readonly string[]): string[] {
  const sequences = new Map(allEvents(folder).map(({ hash, sequence }) => [hash, sequence]));
  const found = order.map((hash) => sequences.get(hash) ?? -1);
  return found.every((sequence, index) => index === 0 || sequence > (found[index - 1] ?? 0))
    ? []
    : ['the order of the chain is not the order in which the commands came'];
}

/** Each jump that is one is noted before what follows it, with its length; a new offset alone is none. */
function checkJumps(folder: string, jumps: readonly Jump[]): string[] {
  const expected = jumps.filter(isNoticed);
  const noted = allEvents(folder).filter(({ kind }) => kind === 'clockJumped');
  if (noted.length !== expected.length) return [`${expected.length} jumps were made, ${noted.length} noted`];
  return noted.flatMap(({ at, body }, index) => {
    const { byMilliseconds = 0, offsetMinutes = 0 } = expected[index] ?? {};
    const complaints: string[] = [];
    // What time passed besides the jump is known to a few milliseconds.
    if (Math.abs(Number(body.byMilliseconds) - byMilliseconds) > 250) {
      complaints.push(`a jump of ${byMilliseconds} ms was noted as ${String(body.byMilliseconds)} ms`);
    }
    if (!at.endsWith(offsetMinutes === 60 ? '+01:00' : '+02:00')) {
      complaints.push(`${at} does not carry the offset of that moment`);
    }
    return complaints;
  });
}

function allEvents(folder: string): readonly StoredEvent[] {
  const reader = openEvidence(folder);
  try {
    return reader.eventsSince(0, 1_000_000);
  } finally {
    reader.close();
  }
}
