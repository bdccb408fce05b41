import { createSystemClock } from '../../drivers/port/clock.ts';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../electron/station/audit/invented-job.ts';
import { openStore } from '../../electron/station/store/open-store.ts';
import { StoreFault } from '../../electron/station/store/store-fault.ts';
import { jobEvidence } from '../../shared/evidence/job-evidence.ts';

/** A station whose disk takes no more after a while: it says so, waits until the parent made room, and goes on. */
const [folder = ''] = process.argv.slice(2);
const store = openStore({
  folder,
  clock: createSystemClock(),
  createId: () => 'station',
  rules: jobEvidence,
});

function told(message: object): Promise<void> {
  return new Promise((resolve) => process.send?.(message, () => resolve()));
}

async function untilItIsWritten<Value>(write: () => Value): Promise<Value> {
  for (;;) {
    try {
      return write();
    } catch (error) {
      if (!(error instanceof StoreFault)) throw error;
      const room = new Promise((resolve) => process.once('message', resolve));
      await told({ fault: error.code, message: error.message });
      await room;
    }
  }
}

const references = await untilItIsWritten(() => putInventedDocuments(store));
for (const event of inventedJob(1, 0, references)) {
  const stream = `job/${event.jobId}`;
  const appended = await untilItIsWritten(() =>
    store.append({
      stream,
      expectedVersion: store.versionOf(stream),
      personId: event.personId,
      events: [{ kind: event.kind, body: event }],
    }),
  );
  await told({ written: appended.ok ? appended.value[0]?.hash : appended.error.code });
}
store.close();
process.disconnect();
