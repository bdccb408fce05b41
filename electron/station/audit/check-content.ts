import { finding } from '../../../shared/audit/finding.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { listedEvent, replacement, unreadEventOf } from './event-walk.ts';
import { createIndexCheck } from './index-check.ts';
import { attempt, type Owner } from './naming.ts';
import { createOpenedJobs } from './opened-jobs.ts';
import { intactEventOf, rawEventColumns, storedEventOf } from './raw-event.ts';
import { createRecentDocuments } from './recent-documents.ts';
import { createRecentEvents } from './recent-events.ts';
import { createRecordCheck } from './record-check.ts';
import { keyOf, walkRows } from './row-walk.ts';
import type { SequenceRange } from './sequence-range.ts';
import type { ReplayFinding, Verification } from './verification.ts';

/** Places whose events and index rows are read together. */
const step = 250;

/** Checks a stretch of the chain. Yields the place it is at. */
export type ContentCheck = (range: SequenceRange) => Generator<number, void>;

/**
 * What the events in a stretch of the chain say, after the chain was walked: their index rows, the documents that they
 * name, their replay, and the records that are built from them. What is at hand of one stretch serves the next one;
 * the findings do not depend on it.
 */
export function createContentCheck(verification: Verification): ContentCheck {
  const { database, suspect } = verification;
  const openedJobs = createOpenedJobs(verification);
  const recentEvents = createRecentEvents();
  const documents = createRecentDocuments(database);
  const index = createIndexCheck(verification, openedJobs);
  const parts = { openedJobs, recentEvents, findDocument: documents.find };
  const records = createRecordCheck(verification, parts);
  const check = createEventCheck(verification, { ...parts, index });
  const bytesAt = database.prepare<[number]>(`SELECT ${rawEventColumns} FROM event WHERE sequence = ?`);
  const walk = { table: 'event', key: 'sequence', columns: listedEvent, chunk: step, asLists: true };

  function checkStep(first: number, last: number): void {
    index.read(first, last);
    records.read(first, last);
    let next = first;
    for (const walked of walkRows(database, { ...walk, after: first - 1, upper: last })) {
      const sequence = 'row' in walked ? keyOf(walked.row) : walked.unreadable;
      while (next < sequence) records.check(next++);
      if (!suspect.has(sequence)) {
        const unread = 'row' in walked ? unreadEventOf(walked.row as readonly unknown[]) : undefined;
        const isText = unread?.bodyText.includes(replacement) === false;
        check(sequence, isText ? storedEventOf(unread) : intactEventOf(attempt(() => bytesAt.get(sequence))));
      }
      records.check(next++);
    }
    while (next <= last) records.check(next++);
    index.finish();
  }

  return function* ({ first, last }) {
    for (let from = first; from <= last; from += step) {
      const until = Math.min(last, from + step - 1);
      checkStep(from, until);
      yield until;
    }
  };
}

interface EventCheckParts {
  readonly openedJobs: ReturnType<typeof createOpenedJobs>;
  readonly recentEvents: ReturnType<typeof createRecentEvents>;
  readonly index: ReturnType<typeof createIndexCheck>;
  readonly findDocument: ReturnType<typeof createRecentDocuments>['find'];
}

function createEventCheck(
  verification: Verification,
  { openedJobs, recentEvents, index, findDocument }: EventCheckParts,
): (sequence: number, event: StoredEvent | undefined) => void {
  const { rules, replay, naming, report, suspect } = verification;

  const ownerOf = (event: StoredEvent): Owner => {
    const job = openedJobs.of(event);
    if (job === undefined) return naming.ofStream(event.stream);
    return { stream: event.stream, jobId: job.jobId, serial: job.serial };
  };

  function checkDocuments(event: StoredEvent): void {
    for (const hash of rules.documentsOf(event)) {
      if (findDocument(hash) !== undefined) continue;
      const what = finding('documentMissing', { event: event.sequence, document: `${hash.slice(0, 16)}…` });
      report('document', ownerOf(event), event.sequence, what);
    }
  }

  return (sequence, event) => {
    if (event === undefined) {
      suspect.add(sequence);
      const what = finding('eventEmpty', { event: sequence });
      report('altered', naming.ofSequence(sequence), sequence, what);
      return;
    }
    openedJobs.learn(event);
    recentEvents.add(event);
    // First, as it reads the whole body, so that nobody behind it need do so again.
    const replayed = outcomeOf(() => replay(event, findDocument));
    try {
      index.check(event, () => ownerOf(event));
      checkDocuments(event);
      for (const found of replayed()) report(found.kind, ownerOf(event), sequence, found.finding);
    } catch (error) {
      const message = error instanceof Error ? (error.message.split('\n')[0] ?? '') : String(error);
      const what = finding('eventNotOfStation', { event: sequence, kind: event.kind, message });
      report('altered', ownerOf(event), sequence, what);
    }
  };
}

/** What a piece of work gave, told when asked: the findings, or what it threw. */
function outcomeOf(work: () => readonly ReplayFinding[]): () => readonly ReplayFinding[] {
  try {
    const findings = work();
    return () => findings;
  } catch (error) {
    return () => {
      throw error;
    };
  }
}
