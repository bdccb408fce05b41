import { randomUUID } from 'node:crypto';
import { mkdirSync } from 'node:fs';
import type { Clock } from '../../../drivers/port/clock.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { lockFolder } from './folder-lock.ts';
import { type Head, readHead } from './head-file.ts';
import { openStore } from './open-store.ts';
import { type Restored, setAsideEvidence } from './restore.ts';
import { withFaults } from './store-fault.ts';

/** Writes into the chain that it was restored, and the signed end of what was set aside: the gap is no secret. */
export function noteRestore(folder: string, clock: Clock, { sequence, lost }: Restored): void {
  appendToStation(folder, clock, {
    kind: 'evidenceRestored',
    body: { restoredUpTo: sequence, setAside: lost },
  });
}

/** Moves a database aside and begins an empty one, whose first events tell how the other one ended. */
export function beginAnew(folder: string, clock: Clock): { keptIn: string | null; lost: Head | null } {
  withFaults(() => mkdirSync(folder, { recursive: true, mode: 0o700 }));
  const lock = lockFolder(folder);
  let keptIn: string | null;
  let lost: Head | null;
  try {
    const head = readHead(folder);
    lost = typeof head === 'string' ? null : head;
    keptIn = withFaults(() => setAsideEvidence(folder, clock.wallTime()));
  } finally {
    lock.release();
  }
  appendToStation(folder, clock, { kind: 'evidenceBegunAnew', body: { setAside: lost } });
  return { keptIn, lost };
}

function appendToStation(folder: string, clock: Clock, event: { kind: string; body: object }): void {
  const store = openStore({ folder, clock, createId: randomUUID, rules: jobEvidence });
  try {
    const appended = store.append({
      stream: 'station',
      expectedVersion: store.versionOf('station'),
      personId: null,
      events: [event],
    });
    if (!appended.ok) throw new Error(appended.error.message);
  } finally {
    store.close();
  }
}
