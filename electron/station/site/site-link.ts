import type { Publication } from '../../../shared/site/publication.ts';
import type { StationLog } from '../log.ts';
import type { Store } from '../store/store.ts';
import { startThread, type Thread } from '../thread.ts';
import { createCommitSignal } from './commit-signal.ts';
import type { OutboxStatus } from './outbox.ts';
import { readSiteFile } from './site-file.ts';
import { siteSentence } from './site-status.ts';

export interface SiteLinkParts {
  readonly dataFolder: string;
  readonly log: StationLog;
  /** What the station writes wakes the outbox. */
  readonly onCommit: Store['onCommit'];
  /** A fault that people at the bench must know of, once for each code. */
  reportFault(code: string, message: string): void;
  /** Makes what takes the publications of this site key. */
  openPublications(siteKey: string): PublicationTaker;
  endFaults(codes: readonly string[]): void;
  /** How often the outbox looks for what was written without waking it. Default: every second. */
  readonly lookEveryMilliseconds?: number;
  /** How often a stopped outbox asks whether a person has decided; left out: its own. */
  readonly askEveryMilliseconds?: number;
}

/** Takes what the site publishes. */
export interface PublicationTaker {
  /** Number of the last publication that needs no more looking at. */
  takenUpTo(): number;
  take(publications: readonly Publication[]): void;
}

export interface SiteLink {
  /** Null before the first word of the outbox. */
  status(): OutboxStatus | null;
  close(): Promise<void>;
}

/** A network that is away for a moment is nothing to tell people at a bench. */
const sayAwayAfterMilliseconds = 10 * 60_000;
const beginAgainMilliseconds = 30_000;
const faultCodes = [
  ...(['site_stopped', 'site_fork', 'site_another_chain', 'site_not_yours'] as const),
  ...(['site_away', 'site_file'] as const),
] as const;

/** What people at the bench are told: what a person must find out first, or else that somebody must decide. */
function codeOf({ reason }: Extract<OutboxStatus, { state: 'stopped' }>): (typeof faultCodes)[number] {
  return faultCodes.find((code) => code === `site_${reason}`) ?? 'site_stopped';
}

/** Starts the outbox of a station in a thread of its own. A thread that ends by mistake is started again. */
export function startSiteLink(parts: SiteLinkParts): SiteLink {
  const { dataFolder, log, reportFault, endFaults, lookEveryMilliseconds, askEveryMilliseconds } = parts;
  const file = readSiteFile(dataFolder);
  if (!file.ok) {
    const { field, message } = file.error;
    reportFault('site_file', `Nothing goes to the site: ${field === '' ? message : `${field}: ${message}`}.`);
    return { status: () => null, close: async () => undefined };
  }
  const siteKey = file.value?.siteKey?.publicKey;
  const commits = createCommitSignal();
  const endCommits = parts.onCommit(commits.give);
  const publications = siteKey === undefined ? undefined : parts.openPublications(siteKey);
  let status: OutboxStatus | null = null;
  let awaySince: number | null = null;
  let said: (typeof faultCodes)[number] | null = null;
  let isClosing = false;
  let isRunning = false;
  let again: NodeJS.Timeout | undefined;
  let worker = begin();

  function begin(): Thread {
    const started = startThread(new URL('./outbox-worker.ts', import.meta.url), {
      dataFolder,
      commits: commits.memory,
      lookEveryMilliseconds,
      askEveryMilliseconds,
    });
    started.on('message', (message: { status?: OutboxStatus; publications?: readonly Publication[] }) => {
      if (message.status !== undefined) take(message.status);
      if (message.publications === undefined || publications === undefined || isClosing) return;
      publications.take(message.publications);
      started.postMessage({ takenUpTo: publications.takenUpTo() });
    });
    if (publications !== undefined) started.postMessage({ takenUpTo: publications.takenUpTo() });
    started.on('error', (error) =>
      log.error({ error: error instanceof Error ? error.stack : String(error) }, 'outbox'),
    );
    isRunning = true;
    started.on('exit', () => {
      isRunning = false;
      if (isClosing) return;
      again = setTimeout(() => {
        worker = begin();
      }, beginAgainMilliseconds);
      again.unref();
    });
    return started;
  }

  /** Once for each trouble: the outbox tells the same again at every attempt. */
  function say(code: (typeof faultCodes)[number], next: OutboxStatus): void {
    if (said === code) return;
    said = code;
    reportFault(code, siteSentence(next));
  }

  function take(next: OutboxStatus): void {
    if (next.state !== status?.state) log.info({ site: next.state }, siteSentence(next));
    status = next;
    if (next.state === 'stopped') say(codeOf(next), next);
    if (next.state === 'unreachable') {
      awaySince ??= performance.now();
      if (performance.now() - awaySince > sayAwayAfterMilliseconds) say('site_away', next);
    } else if (next.state !== 'connecting') {
      awaySince = null;
      if (next.state === 'stopped') {
        endFaults(['site_away']);
        return;
      }
      said = null;
      endFaults(faultCodes);
    }
  }

  return {
    status: () => status,
    async close() {
      isClosing = true;
      endCommits();
      clearTimeout(again);
      if (!isRunning) return;
      const ended = new Promise<void>((done) => worker.once('exit', () => done()));
      worker.postMessage('end');
      const patience = setTimeout(() => void worker.terminate(), 3000);
      await ended;
      clearTimeout(patience);
    },
  };
}
