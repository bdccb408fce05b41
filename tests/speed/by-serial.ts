import { existsSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createSystemClock } from '../../drivers/port/clock.ts';
import { generateJobs } from '../../electron/station/audit/generate.ts';
import { chanceOf, inventedSerial } from '../../electron/station/audit/invented-job.ts';
import { buildTimeline } from '../../electron/station/audit/timeline-view.ts';
import { databaseName, openDatabaseToRead } from '../../electron/station/store/database.ts';
import { createEvidenceReader } from '../../electron/station/store/evidence-reader.ts';

/**
 * How long the timeline of a serial takes against the bare indexed SELECT of the same rows, in one run:
 *   node tests/speed/by-serial.ts [JOBS]… [--folder DIR]
 * Default 10000 and 100000 jobs. With --folder the database is kept and filled up to the next size.
 */
const words = process.argv.slice(2);
const folderAt = words.indexOf('--folder');
const given = folderAt < 0 ? undefined : words.splice(folderAt, 2)[1];
const sizes = words.length > 0 ? words.map(Number) : [10_000, 100_000];
const folder = given ?? mkdtempSync(join(tmpdir(), 'bandwright-speed-'));
const lookups = 1000;

function quantiles(milliseconds: number[]): string {
  const sorted = milliseconds.toSorted((a, b) => a - b);
  const at = (share: number) => (sorted[Math.floor(share * (sorted.length - 1))] ?? 0).toFixed(3);
  return `p50 ${at(0.5)} p99 ${at(0.99)} max ${at(1)}`;
}

function timed(work: () => void): number {
  const start = performance.now();
  work();
  return performance.now() - start;
}

function jobsIn(): number {
  if (!existsSync(join(folder, databaseName))) return 0;
  const database = openDatabaseToRead(folder);
  const count = database.prepare<[], number>('SELECT count(*) FROM job').pluck().get() ?? 0;
  database.close();
  return count;
}

for (const size of sizes) {
  const present = jobsIn();
  if (present < size) {
    let told = performance.now();
    const seconds =
      timed(() =>
        generateJobs({
          folder,
          clock: createSystemClock(),
          count: size - present,
          first: present + 1,
          onProgress(done) {
            if (performance.now() - told < 30_000) return;
            told = performance.now();
            console.error(`${present + done} jobs`);
          },
        }),
      ) / 1000;
    const rate = Math.round((size - present) / seconds);
    const bytes = statSync(join(folder, databaseName)).size;
    console.log(
      `${size} jobs: ${seconds.toFixed(1)} s to add (${rate} a second), ${(bytes / 1e9).toFixed(2)} GB`,
    );
  }
  const database = openDatabaseToRead(folder);
  const reader = createEvidenceReader(database);
  const bare = database.prepare(
    `SELECT event.* FROM job JOIN event ON event.stream = 'job/' || job.job_id WHERE job.serial = ? ORDER BY event.sequence`,
  );
  const record = database.prepare('SELECT hash FROM record WHERE serial = ? ORDER BY sequence');
  const select: number[] = [];
  const timeline: number[] = [];
  // The first lookups of a process are slower for both: code is still being compiled.
  const warmUp = 100;
  for (let round = -warmUp; round < lookups; round++) {
    const serial = inventedSerial(1 + Math.floor(chanceOf(round, size) * size));
    const read = () => {
      bare.all(serial);
      record.all(serial);
    };
    const view = () => buildTimeline(reader, serial, (personId) => personId);
    // Which comes first finds the pages cold: by turns.
    if (round % 2 === 0) {
      select.push(timed(read));
      timeline.push(timed(view));
    } else {
      timeline.push(timed(view));
      select.push(timed(read));
    }
  }
  database.close();
  console.log(
    `${size} jobs, ${lookups} serials, ms: SELECT ${quantiles(select)} | timeline ${quantiles(timeline)}`,
  );
}
if (given === undefined) rmSync(folder, { recursive: true, force: true });
