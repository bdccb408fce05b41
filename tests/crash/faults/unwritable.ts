import { fork } from 'node:child_process';
import { chownSync } from 'node:fs';
import { join } from 'node:path';
import { Ledger } from './ledger.ts';
import type { FaultRow } from './row.ts';
import { withFolder } from './station-child.ts';
import type { Acknowledged } from './told.ts';

/** What `rights-worker.ts` tells. */
export type RightsTold =
  | { readonly acknowledged: Acknowledged }
  | { readonly complaint: string }
  /** How long the station took to open once the rights were back. */
  | { readonly milliseconds: number };

/** The user `nobody`, where the test runs as root. */
const nobody = 65_534;

/** The rights of the folder or the database go away while the station is off, and while it works; they come back. */
export function takeRightsAway(rounds: number): Promise<FaultRow> {
  return withFolder(async (folder) => {
    const ledger = new Ledger();
    const complaints: string[] = [];
    const recovered: number[] = [];
    const isRoot = process.getuid?.() === 0;
    if (isRoot) chownSync(folder, nobody, nobody);
    const words = [folder, String(rounds), isRoot ? String(nobody) : ''];
    const child = fork(join(import.meta.dirname, 'rights-worker.ts'), words, {
      stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
    });
    child.on('message', (told: RightsTold) => {
      if ('acknowledged' in told) ledger.note(told.acknowledged);
      else if ('complaint' in told) complaints.push(told.complaint);
      else recovered.push(told.milliseconds);
    });
    const code = await new Promise((resolve) => child.once('exit', resolve));
    if (code !== 0) complaints.push(`the station ended with code ${String(code)}`);
    const outcome = ledger.close(folder);
    return {
      fault: 'data folder or database may not be written',
      rounds: recovered.length,
      acknowledged: ledger.acknowledged,
      captures: ledger.captures,
      ...outcome,
      recoveredMilliseconds: recovered,
      complaints: [...complaints, ...outcome.complaints],
      note: 'said at the start; a station that works goes on',
    };
  });
}
