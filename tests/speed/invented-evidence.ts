import { existsSync, mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { createSystemClock } from '../../drivers/port/clock.ts';
import { generateJobs } from '../../electron/station/audit/generate.ts';
import { databaseName, openDatabaseToRead } from '../../electron/station/store/database.ts';

/**
 * A data folder with this many invented jobs, kept below tests/.artifacts for the next run and filled up from there:
 * a million take an hour and 20 GB.
 */
export function inventedEvidence(jobs: number, say: (line: string) => void): string {
  const folder = resolve(import.meta.dirname, '..', '.artifacts', `invented-${jobs}`);
  mkdirSync(folder, { recursive: true });
  const present = jobsIn(folder);
  if (present >= jobs) return folder;
  let told = performance.now();
  say(`Inventing ${jobs - present} jobs …`);
  generateJobs({
    folder,
    clock: createSystemClock(),
    count: jobs - present,
    first: present + 1,
    onProgress(done) {
      if (performance.now() - told < 30_000) return;
      told = performance.now();
      say(`${present + done} jobs`);
    },
  });
  return folder;
}

function jobsIn(folder: string): number {
  if (!existsSync(join(folder, databaseName))) return 0;
  const database = openDatabaseToRead(folder);
  const count = database.prepare<[], number>('SELECT count(*) FROM job').pluck().get() ?? 0;
  database.close();
  return count;
}
