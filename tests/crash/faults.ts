// `npm run faults -- --rounds N`: breaks a station in every way that benches know and prints what was lost.
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { createRandom, type Random } from '../../drivers/simulated/random.ts';
import { buildOut } from '../../electron/launch/build.ts';
import { copyAtEveryCommit } from './faults/copies.ts';
import { fillSmallFileSystem, troubles, troubleTheDisk } from './faults/disks.ts';
import { interruption } from './faults/interruption.ts';
import { jumpTheClock } from './faults/jumps.ts';
import { killFirstStart, killStation } from './faults/kills.ts';
import { brokenOff, type FaultRow, holds, lineOf, tableOf } from './faults/row.ts';
import { cutScreens, killServedStation, killWindowProgram } from './faults/screens.ts';
import { spoilConveniences, spoilEvidence } from './faults/spoiled-files.ts';
import { keepStartsShort } from './faults/start-cache.ts';
import { takeRightsAway } from './faults/unwritable.ts';

export interface FaultsOptions {
  readonly rounds: number;
  /** Everything random comes from it, except how fast the computer is. */
  readonly seed: number;
  /** Only the faults whose name contains this. */
  readonly only: string;
  readonly say: (line: string) => void;
}

/** A fault to try; undefined where it cannot be brought about on this machine. */
type Trial = (rounds: number, random: Random) => Promise<FaultRow | undefined>;

/** Every fault. Those that take seconds each have fewer rounds; the table says how many. */
const trials: Readonly<Record<string, Trial>> = {
  'kill station': killStation,
  'kill served': (rounds, random) => killServedStation(share(rounds, 10), random),
  'kill window': (rounds, random) => killWindowProgram(share(rounds, 10), random),
  'kill first start': (rounds, random) => killFirstStart(share(rounds, 10), random),
  'cut screens': (rounds, random) => cutScreens(share(rounds, 2), random),
  'full disk': (rounds) => troubleTheDisk(troubles.fullDisk, rounds),
  'full file system': fillSmallFileSystem,
  'failing writes': (rounds) => troubleTheDisk(troubles.failingWrites, rounds),
  'failing sync': (rounds) => troubleTheDisk(troubles.failingSync, rounds),
  'held database': (rounds) => troubleTheDisk(troubles.heldDatabase, share(rounds, 20)),
  rights: (rounds) => takeRightsAway(share(rounds, 4)),
  copies: copyAtEveryCommit,
  'spoil evidence': spoilEvidence,
  'spoil settings': (rounds, random) => spoilConveniences(share(rounds, 4), random),
  'clock jumps': jumpTheClock,
};

function share(rounds: number, part: number): number {
  return Math.max(1, Math.ceil(rounds / part));
}

/** Tries one fault after the other; each row comes when it is known. A trial that breaks off does not end the others. */
export async function* tryFaults({ rounds, seed, only, say }: FaultsOptions): AsyncGenerator<FaultRow> {
  for (const [name, trial] of Object.entries(trials)) {
    if (!name.includes(only)) continue;
    if (interruption.signal.aborted) return;
    const startedAt = performance.now();
    // Each has its own: the same seed makes the same instants, whether all are tried or this one alone.
    const row = await trial(rounds, createRandom(seed)).catch((error: unknown) => brokenOff(name, error));
    if (row === undefined) {
      say('a small file system: may not be mounted here (takes root); left out');
      continue;
    }
    const seconds = ((performance.now() - startedAt) / 1000).toFixed(0);
    say(`${lineOf(row)} in ${seconds} s`);
    for (const complaint of row.complaints) say(`    ${complaint}`);
    yield row;
  }
}

if (import.meta.main) {
  const { values } = parseArgs({
    options: {
      rounds: { type: 'string', default: '20' },
      seed: { type: 'string', default: '1' },
      only: { type: 'string', default: '' },
    },
  });
  const rounds = z.coerce.number().int().min(1).max(100_000).parse(values.rounds);
  const seed = z.coerce.number().int().parse(values.seed);
  const rows: FaultRow[] = [];
  const printTable = () => {
    process.stdout.write(`${tableOf(rows)}\n`);
    const failed = rows.filter((row) => !holds(row)).length;
    process.stdout.write(`${rows.length} faults, ${failed} not withstood (seed ${seed})\n`);
    return failed === 0;
  };
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    process.on(signal, () => {
      // Said again: at once, with the rows that are whole.
      if (interruption.signal.aborted) process.exit(printTable() ? 0 : 1);
      process.stdout.write('interrupted: ends after this round, or when told again\n');
      interruption.abort();
    });
  }
  const say = (line: string) => void process.stderr.write(`${line}\n`);
  // Served stations have screens to serve.
  await buildOut(say, ['renderer']);
  keepStartsShort();
  for await (const row of tryFaults({ rounds, seed, only: values.only, say })) rows.push(row);
  process.exitCode = printTable() ? 0 : 1;
}
