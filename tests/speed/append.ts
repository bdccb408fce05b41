// Time of one append as the bench does it: event, index rows, seal, commit on the disk, head file. Not part of CI.
// node tests/speed/append.ts [JOBS] [FOLDER ON THE DISK TO MEASURE]
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createSystemClock } from '../../drivers/port/clock.ts';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../electron/station/audit/invented-job.ts';
import { openStore } from '../../electron/station/store/open-store.ts';
import { jobEvidence } from '../../shared/evidence/job-evidence.ts';
import { appendJobEvent } from '../station/store/append-job-event.ts';

const jobs = Number(process.argv[2] ?? 300);
const folder = mkdtempSync(join(process.argv[3] ?? tmpdir(), 'bandwright-append-'));
const store = openStore({
  folder,
  clock: createSystemClock(),
  createId: () => 'station',
  rules: jobEvidence,
});
const references = putInventedDocuments(store);
const times: number[] = [];
for (let number = 1; number <= jobs; number++) {
  for (const event of inventedJob(number, Date.now(), references)) {
    const start = performance.now();
    appendJobEvent(store, event);
    times.push(performance.now() - start);
  }
}
store.close();
rmSync(folder, { recursive: true, force: true });
times.splice(0, Math.min(50, Math.floor(times.length / 10)));
times.sort((a, b) => a - b);
const at = (share: number) => (times[Math.floor(share * (times.length - 1))] ?? 0).toFixed(2);
console.log(`${times.length} appends, ms: p50 ${at(0.5)} p99 ${at(0.99)} p99.9 ${at(0.999)} max ${at(1)}`);
