import { execFileSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { Ledger } from './ledger.ts';
import type { FaultRow } from './row.ts';
import { startStationChild, withFolder } from './station-child.ts';

interface Trouble {
  readonly kind: string;
  readonly fault: string;
  /** Codes of faults that may be said. */
  readonly codes: readonly string[];
  readonly note: (mostWrites: number) => string;
}

export const troubles = {
  fullDisk: {
    kind: 'full-disk',
    fault: 'disk full at the n-th write (file size limit)',
    codes: ['disk_full', 'disk_error'],
    note: (most) => `n = 1 … ${most}`,
  },
  fullFileSystem: {
    kind: 'full-file-system',
    fault: 'disk full, n pages left (small file system)',
    codes: ['disk_full', 'disk_error'],
    note: (most) => `n = 0 … ${most - 1}`,
  },
  failingWrites: {
    kind: 'failing-writes',
    fault: 'input/output error at a write',
    codes: ['disk_error'],
    note: () => '',
  },
  failingSync: {
    kind: 'failing-sync',
    fault: 'input/output error at the sync',
    codes: ['disk_error'],
    note: () => '',
  },
  heldDatabase: {
    kind: 'held-database',
    fault: 'database held by another program',
    codes: ['busy'],
    note: () => 'said after 2 s of waiting',
  },
} as const satisfies Record<string, Trouble>;

/** Every command of a working station meets the fault, says so, and is repeated when it is over. */
export function troubleTheDisk(trouble: Trouble, rounds: number): Promise<FaultRow> {
  return withFolder((folder) => runInTrouble(trouble, rounds, folder));
}

/** The same on a small file system that is really full, with room for what all rounds write; undefined where none may be mounted. */
export function fillSmallFileSystem(rounds: number): Promise<FaultRow | undefined> {
  return withFolder(async (around) => {
    const folder = join(around, 'small');
    mkdirSync(folder);
    try {
      const size = `size=${6 + Math.ceil(rounds / 100)}m,mode=700`;
      execFileSync('mount', ['-t', 'tmpfs', '-o', size, 'none', folder], { stdio: 'ignore' });
    } catch {
      return undefined;
    }
    try {
      return await runInTrouble(troubles.fullFileSystem, rounds, folder);
    } finally {
      execFileSync('umount', [folder]);
    }
  });
}

async function runInTrouble(trouble: Trouble, rounds: number, folder: string): Promise<FaultRow> {
  const ledger = new Ledger();
  const recovered: number[] = [];
  const complaints = new Set<string>();
  let mostWrites = 0;
  const words = ['--fault', trouble.kind, '--rounds', String(rounds), '--pause', '0'];
  const child = startStationChild(folder, words, (told) => {
    if (told.kind === 'acknowledged') ledger.note(told);
    if (told.kind !== 'fault') return;
    recovered.push(told.milliseconds);
    mostWrites = Math.max(mostWrites, told.writeNumber);
    if (!trouble.codes.includes(told.code)) complaints.add(`said ${told.code}: ${told.message}`);
    if (!told.message.includes(';')) complaints.add(`says not what to do: ${told.message}`);
  });
  const { code } = await child.exited;
  if (code !== 0) complaints.add(`the station ended with code ${code}`);
  const { lost, duplicated, complaints: findings } = ledger.close(folder);
  return {
    fault: trouble.fault,
    rounds: recovered.length,
    acknowledged: ledger.acknowledged,
    captures: ledger.captures,
    lost,
    duplicated,
    recoveredMilliseconds: recovered,
    complaints: [...complaints, ...findings],
    note: trouble.note(mostWrites),
  };
}
