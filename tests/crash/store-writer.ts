import { createSystemClock } from '../../drivers/port/clock.ts';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../electron/station/audit/invented-job.ts';
import { openStore } from '../../electron/station/store/open-store.ts';
import { jobEvidence } from '../../shared/evidence/job-evidence.ts';

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
    const stream = `job/${event.jobId}`;
    const result = store.append({
      stream,
      expectedVersion: store.versionOf(stream),
      personId: event.personId,
      events: [{ kind: event.kind, body: event }],
    });
    if (!result.ok) throw new Error(result.error.message);
    const stored = result.value[0];
    // Acknowledged: what the screen would show green. Waits until the parent's pipe has it.
    await new Promise<void>((resolve) => {
      process.send?.({ stream, version: stored?.version, hash: stored?.hash }, () => resolve());
    });
  }
}
