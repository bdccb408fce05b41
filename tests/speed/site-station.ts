import { isMainThread, parentPort, workerData } from 'node:worker_threads';
import { createSystemClock } from '../../drivers/port/clock.ts';
import { stepBehind } from '../../electron/station/audit/background-thread.ts';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../electron/station/audit/invented-job.ts';
import { commitWaiter, createCommitSignal } from '../../electron/station/site/commit-signal.ts';
import { createLocalChain } from '../../electron/station/site/local-chain.ts';
import { runOutbox } from '../../electron/station/site/outbox.ts';
import { siteAccess } from '../../electron/station/site/site-access.ts';
import { readSiteFile } from '../../electron/station/site/site-file.ts';
import { openSiteSession } from '../../electron/station/site/site-session.ts';
import { openDatabaseToRead } from '../../electron/station/store/database.ts';
import { openStore } from '../../electron/station/store/open-store.ts';
import { startThread } from '../../electron/station/thread.ts';
import { jobEvidence } from '../../shared/evidence/job-evidence.ts';
import { appendJobEvent } from '../station/store/append-job-event.ts';

/** Instants of an event by the clock that all processes of the machine share, in nanoseconds. */
export interface PushedEvent {
  readonly committed: string;
  /** When its push began. */
  readonly pushed: string;
  /** When the site had said that it has it. */
  readonly acknowledged: string;
}

/** A push: the places in the chain that it took, and its instants. */
interface Push {
  readonly sequences: readonly number[];
  readonly pushed: string;
  readonly acknowledged: string;
}

const now = () => String(process.hrtime.bigint());

if (isMainThread) await writeSteadily();
else await pushInThread();

/**
 * A station that writes one event after another, with its outbox in a thread beside it, as a served station has it.
 * Arguments: data folder, id of the station, milliseconds between events. Tells its parent what each event waited.
 */
async function writeSteadily(): Promise<void> {
  const [folder = '', stationId = '', pace = '50'] = process.argv.slice(2);
  const store = openStore({
    folder,
    clock: createSystemClock(),
    createId: () => stationId,
    rules: jobEvidence,
  });
  const references = putInventedDocuments(store);
  const committed = new Map<number, string>();
  const commits = createCommitSignal();
  store.onCommit(commits.give);
  const outbox = startThread(new URL(import.meta.url), { folder, commits: commits.memory });
  outbox.on('message', ({ sequences, ...push }: Push) => {
    const events = sequences.flatMap((sequence): PushedEvent[] => {
      const at = committed.get(sequence);
      committed.delete(sequence);
      return at === undefined ? [] : [{ committed: at, ...push }];
    });
    process.send?.(events);
  });
  process.on('disconnect', () => process.exit(1));
  // By the clock, so that the time that an event takes does not stretch the pace.
  let next = performance.now();
  for (let number = 1; ; number++) {
    for (const event of inventedJob(number, Date.now(), references)) {
      committed.set(appendJobEvent(store, event).sequence, now());
      next += Number(pace);
      await new Promise((done) => setTimeout(done, Math.max(0, next - performance.now())));
    }
  }
}

/** The product's outbox on the product's session, with a clock around each push. */
async function pushInThread(): Promise<void> {
  stepBehind(10);
  const { folder, commits } = workerData as { folder: string; commits: SharedArrayBuffer };
  const file = readSiteFile(folder);
  const access = file.ok && file.value !== null ? siteAccess(file.value) : undefined;
  if (access?.ok !== true) throw new Error(`${folder} names no site`);
  await runOutbox(
    {
      chain: createLocalChain(openDatabaseToRead(folder)),
      async connect() {
        const session = await openSiteSession(access.value);
        return {
          ...session,
          async push(stationId, piece) {
            const pushed = now();
            const answer = await session.push(stationId, piece);
            const push: Push = {
              sequences: piece.events.map(({ sequence }) => sequence),
              ...{ pushed, acknowledged: now() },
            };
            parentPort?.postMessage(push);
            return answer;
          },
        };
      },
      tell: () => undefined,
      pause: (milliseconds) => new Promise((done) => setTimeout(done, milliseconds)),
      untilCommit: commitWaiter(commits),
    },
    new AbortController().signal,
  );
}
