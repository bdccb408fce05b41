import { randomUUID } from 'node:crypto';
import { mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { createSystemClock } from '../../../drivers/port/clock.ts';
import { openStore } from '../../../electron/station/store/open-store.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { complaintsOf, Ledger } from './ledger.ts';
import type { FaultRow } from './row.ts';
import { startStationChild, withFolder } from './station-child.ts';

/** Database, WAL and head as they lie on the disk after each command: each copy opens and verifies. */
export function copyAtEveryCommit(rounds: number): Promise<FaultRow> {
  return withFolder(async (around) => {
    const folder = join(around, 'data');
    mkdirSync(folder);
    const ledger = new Ledger();
    const recovered: number[] = [];
    const complaints: string[] = [];
    let lostInCopies = 0;
    const words = ['--copies', join(around, 'copies'), '--rounds', String(rounds), '--jobs', '4'];
    const child = startStationChild(folder, words, (told) => {
      if (told.kind === 'acknowledged') ledger.note(told);
      if (told.kind !== 'copied') return;
      const { milliseconds, lastSequence } = openCopy(told.copy);
      recovered.push(milliseconds);
      if (lastSequence !== told.lastSequence) lostInCopies += 1;
      complaints.push(...complaintsOf(told.copy));
      rmSync(told.copy, { recursive: true });
      child.process.send('seen');
    });
    await child.exited;
    const { lost, duplicated, complaints: findings } = ledger.close(folder);
    return {
      fault: 'copy of database, WAL and head at every commit',
      rounds: recovered.length,
      acknowledged: ledger.acknowledged,
      captures: ledger.captures,
      lost: lost + lostInCopies,
      duplicated,
      recoveredMilliseconds: recovered,
      complaints: [...complaints, ...findings],
      note: 'each opens and verifies intact',
    };
  });
}

function openCopy(folder: string): { milliseconds: number; lastSequence: number } {
  const startedAt = performance.now();
  const store = openStore({ folder, clock: createSystemClock(), createId: randomUUID, rules: jobEvidence });
  const lastSequence = store.lastSequence();
  store.close();
  return { milliseconds: performance.now() - startedAt, lastSequence };
}
