// `npm run faults -- --rounds N`: breaks a station in every way that benches know and prints what was lost.
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { createRandom } from '../../drivers/simulated/random.ts';
import { copyAtEveryCommit } from './faults/copies.ts';
import { fillSmallFileSystem, troubles, troubleTheDisk } from './faults/disks.ts';
import { jumpTheClock } from './faults/jumps.ts';
import { killFirstStart, killStation } from './faults/kills.ts';
import { type FaultRow, holds, tableOf } from './faults/row.ts';
import { cutScreens, killServedStation, killWindowProgram } from './faults/screens.ts';
import { spoilConveniences, spoilEvidence } from './faults/spoiled-files.ts';
import { takeRightsAway } from './faults/unwritable.ts';

export interface FaultsOptions {
  readonly rounds: number;
  /** Everything random comes from it, except how fast the computer is. */
  readonly seed: number;
  /** Only the faults whose name contains this. */
  readonly only: string;
  readonly say: (line: string) => void;
}

/** Every fault in turn. Those that take seconds each have fewer rounds; the table says how many. */
export async function tryFaults({ rounds, seed, only, say }: FaultsOptions): Promise<readonly FaultRow[]> {
  const random = createRandom(seed);
  const share = (part: number) => Math.max(1, Math.ceil(rounds / part));
  const trials: Readonly<Record<string, () => Promise<FaultRow | undefined>>> = {
    'kill station': () => killStation(rounds, random),
    'kill served': () => killServedStation(share(10), random),
    'kill window': () => killWindowProgram(share(10), random),
    'kill first start': () => killFirstStart(share(10), random),
    'cut screens': () => cutScreens(share(2), random),
    'full disk': () => troubleTheDisk(troubles.fullDisk, rounds),
    'full file system': () => fillSmallFileSystem(rounds),
    'failing writes': () => troubleTheDisk(troubles.failingWrites, rounds),
    'failing sync': () => troubleTheDisk(troubles.failingSync, rounds),
    'held database': () => troubleTheDisk(troubles.heldDatabase, share(20)),
    rights: () => takeRightsAway(share(4)),
    copies: () => copyAtEveryCommit(rounds),
    'spoil evidence': () => spoilEvidence(rounds, random),
    'spoil settings': () => spoilConveniences(share(4), random),
    'clock jumps': () => jumpTheClock(rounds),
  };
  const rows: FaultRow[] = [];
  for (const [name, trial] of Object.entries(trials)) {
    if (!name.includes(only)) continue;
    const startedAt = performance.now();
    const row = await trial();
    if (row === undefined) {
      say('a small file system: may not be mounted here (takes root); left out');
      continue;
    }
    rows.push(row);
    const seconds = ((performance.now() - startedAt) / 1000).toFixed(0);
    say(`${holds(row) ? '✓' : '✗'} ${row.fault}: ${row.rounds} rounds in ${seconds} s`);
    for (const complaint of row.complaints) say(`    ${complaint}`);
  }
  return rows;
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
  const rows = await tryFaults({
    rounds,
    seed,
    only: values.only,
    say: (line) => process.stderr.write(`${line}\n`),
  });
  process.stdout.write(`${tableOf(rows)}\n`);
  const failed = rows.filter((row) => !holds(row)).length;
  process.stdout.write(`${rows.length} faults, ${failed} not withstood (seed ${seed})\n`);
  process.exitCode = failed === 0 ? 0 : 1;
}
