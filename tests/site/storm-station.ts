import { createSystemClock } from '../../drivers/port/clock.ts';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../electron/station/audit/invented-job.ts';
import { startSiteLink } from '../../electron/station/site/site-link.ts';
import { openStore } from '../../electron/station/store/open-store.ts';
import { jobEvidence } from '../../shared/evidence/job-evidence.ts';
import { appendJobEvent } from '../station/store/append-job-event.ts';

/**
 * A station of the storm: writes one event after another and has its outbox beside it, as a served station has.
 * Arguments: data folder, id of the station, number of its first job, milliseconds between events. Tells its parent of
 * every append after it returned and of every status of the outbox. `calm` ends the writing, not the outbox.
 */
const [folder = '', stationId = '', first = '1', pace = '50'] = process.argv.slice(2);
const store = openStore({
  folder,
  clock: createSystemClock(),
  createId: () => stationId,
  rules: jobEvidence,
});
const references = putInventedDocuments(store);
const silent = {
  info: () => undefined,
  warn: () => undefined,
  error: (error: unknown) => process.send?.({ bug: error }),
};
const link = startSiteLink({
  dataFolder: folder,
  log: silent,
  onCommit: store.onCommit,
  reportFault: () => undefined,
  endFaults: () => undefined,
  openPublications: () => ({ takenUpTo: () => 0, take: () => undefined }),
});
let isCalm = false;
process.on('message', (message) => {
  if (message === 'calm') isCalm = true;
  if (message === 'end') {
    void link.close().then(() => {
      store.close();
      process.exit(0);
    });
  }
});
process.on('disconnect', () => process.exit(1));
setInterval(() => process.send?.({ status: link.status() }), 250);

for (let number = Number(first); !isCalm; number++) {
  for (const event of inventedJob(number, Date.now(), references)) {
    const { sequence, hash } = appendJobEvent(store, event);
    // Acknowledged: what the screen would show green.
    await new Promise<void>((sent) => {
      process.send?.({ sequence, hash }, () => sent());
    });
    await new Promise((done) => setTimeout(done, Number(pace)));
  }
}
process.send?.({ calm: store.lastSequence() });
