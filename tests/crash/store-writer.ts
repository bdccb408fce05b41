import { createSystemClock } from '../../drivers/port/clock.ts';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../electron/station/audit/invented-job.ts';
import { openStore } from '../../electron/station/store/open-store.ts';
import { jobEvidence } from '../../shared/evidence/job-evidence.ts';
import { appendJobEvent } from '../station/store/append-job-event.ts';

/** A station that writes jobs as fast as it can and tells of each append after it returned. Killed by the test. */
const [folder = '', first = '1'] = process.argv.slice(2);
const store = openStore({
  folder,
  clock: createSystemClock(),
  createId: () => 'station',
  rules: jobEvidence,
});
const references = putInventedDocuments(store);
process.send?.('ready');
for (let number = Number(first); ; number++) {
  for (const event of inventedJob(number, 0, references)) {
    const { stream, version, hash } = appendJobEvent(store, event);
    // Acknowledged: what the screen would show green. Waits until the parent's pipe has it.
    await new Promise<void>((resolve) => {
      process.send?.({ stream, version, hash }, () => resolve());
    });
  }
}
