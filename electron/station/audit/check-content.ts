import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import type { IndexRow } from '../../../shared/evidence/evidence-rules.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { bytesOf } from '../store/event-row.ts';
import { indexTables, selectionOf } from '../store/index-tables.ts';
import { attempt, type Owner } from './naming.ts';
import { createOpenedJobs, type OpenedJobs } from './opened-jobs.ts';
import { createRecentDocuments } from './recent-documents.ts';
import type { Verification } from './verification.ts';

/** Checks what intact events say: their index rows, the documents that they name, their record, their replay. */
export interface EventContent {
  event(event: StoredEvent): void;
  /** A place whose event cannot be believed: its index rows are neither right nor wrong. */
  skipped(sequence: number): void;
  /** Looks for index rows that no event accounts for. */
  finish(): void;
  /** Documents that the chain says were put, and records that it says were signed. */
  readonly documentsPut: number;
  readonly recordsSigned: number;
}

export function createEventContent(verification: Verification): EventContent {
  const { database, rules, replay, naming, report, upper } = verification;
  const documents = createRecentDocuments(database);
  const openedJobs = createOpenedJobs(verification);
  const hasRecord = database.prepare<[number], 1>('SELECT 1 FROM record WHERE sequence = ?').pluck();
  const accounted = new Map<IndexRow['table'], number>(indexTables.map((table) => [table, 0]));
  const rowsAt = new Map(
    indexTables.map((table) => [
      table,
      database.prepare<[number]>(`SELECT ${selectionOf(table)} FROM ${table} WHERE sequence = ?`),
    ]),
  );
  let documentsPut = 0;
  let recordsSigned = 0;

  const ownerOf = (event: StoredEvent): Owner => {
    const job = openedJobs.of(event);
    if (job === undefined) return naming.ofStream(event.stream);
    return { stream: event.stream, jobId: job.jobId, serial: job.serial };
  };

  function checkIndex(event: StoredEvent): void {
    for (const { table, ...expected } of rules.indexRows(event, openedJobs.of(event))) {
      const found = attempt(() => rowsAt.get(table)?.all(event.sequence)) ?? [];
      accounted.set(table, (accounted.get(table) ?? 0) + Math.min(1, found.length));
      const text = canonicalJson(expected);
      if (found.some((row) => attempt(() => canonicalJson(row)) === text)) continue;
      const what =
        found.length === 0 ? 'was removed' : `was altered: it is not what event ${event.sequence} says`;
      report('index', ownerOf(event), event.sequence, `its row in the index "${table}" ${what}`);
    }
  }

  function checkDocuments(event: StoredEvent): void {
    for (const hash of rules.documentsOf(event)) {
      if (documents.find(hash) !== undefined) continue;
      report(
        'document',
        ownerOf(event),
        event.sequence,
        `event ${event.sequence} names document ${hash.slice(0, 16)}…, which cannot be read`,
      );
    }
  }

  return {
    event(event) {
      openedJobs.learn(event);
      try {
        checkIndex(event);
        checkDocuments(event);
        for (const { kind, what } of replay(event, documents.find))
          report(kind, ownerOf(event), event.sequence, what);
      } catch (error) {
        const reason = error instanceof Error ? error.message.split('\n')[0] : String(error);
        report(
          'altered',
          ownerOf(event),
          event.sequence,
          `event ${event.sequence} (${event.kind}) is not what a station writes: ${reason}`,
        );
      }
      if (event.kind === 'documentPut' && event.stream.startsWith('document/')) {
        documentsPut++;
        checkPut(verification, event);
      }
      if (event.kind === 'recordSigned' && event.stream.startsWith('record/')) {
        recordsSigned++;
        if (attempt(() => hasRecord.get(event.sequence)) === undefined) {
          report(
            'record',
            ownerOf(event),
            event.sequence,
            `its record (event ${event.sequence}) was removed or cannot be read`,
          );
        }
      }
    },
    skipped(sequence) {
      for (const [table, statement] of rowsAt) {
        // Rows of one event in one table: only a consumption could have several, and has one.
        const found = attempt(() => statement.all(sequence).length) ?? 0;
        accounted.set(table, (accounted.get(table) ?? 0) + found);
      }
    },
    finish() {
      for (const [table, expected] of accounted) {
        const count = database
          .prepare<[number], number>(`SELECT count(*) FROM ${table} WHERE sequence <= ?`)
          .pluck();
        if (attempt(() => count.get(upper)) !== expected) findStrangers(verification, table, openedJobs);
      }
    },
    get documentsPut() {
      return documentsPut;
    },
    get recordsSigned() {
      return recordsSigned;
    },
  };
}

/** The document of a documentPut event stands there under this kind. Its bytes are checked with the documents. */
function checkPut({ database, report }: Verification, event: StoredEvent): void {
  const hash = event.stream.slice('document/'.length);
  const kind = attempt(() =>
    database
      .prepare<[Uint8Array], string>('SELECT kind FROM document WHERE hash = ?')
      .pluck()
      .get(bytesOf(hash)),
  );
  if (kind === event.body.documentKind) return;
  const owner = { stream: event.stream, jobId: null, serial: null };
  const name = `${String(event.body.documentKind)} ${hash.slice(0, 16)}…`;
  const what = kind === undefined ? 'was removed or cannot be read' : 'stands there under another kind';
  report('document', owner, event.sequence, `${name} ${what}`);
}

/** Index rows that no event brought. */
function findStrangers(
  { database, rules, naming, report, suspect, upper }: Verification,
  table: IndexRow['table'],
  openedJobs: OpenedJobs,
): void {
  const rows = database.prepare<[number, number], { sequence: number; jobId: string }>(
    `SELECT ${selectionOf(table)} FROM ${table} WHERE sequence > ? AND sequence <= ? ORDER BY sequence LIMIT 500`,
  );
  let after = 0;
  for (;;) {
    const found = attempt(() => rows.all(after, upper)) ?? [];
    for (const row of found) {
      if (suspect.has(row.sequence)) continue;
      const event = openedJobs.eventAt(row.sequence);
      const expected =
        event === undefined ? [] : (attempt(() => rules.indexRows(event, openedJobs.of(event))) ?? []);
      if (expected.some((one) => one.table === table && one.jobId === row.jobId)) continue;
      const owner = attempt(() => naming.ofStream(`job/${row.jobId}`)) ?? naming.ofSequence(row.sequence);
      report('index', owner, row.sequence, `a row in the index "${table}" belongs to no event`);
    }
    const last = found.at(-1);
    if (last === undefined) return;
    after = last.sequence;
  }
}
