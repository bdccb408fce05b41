import { finding } from '../../../shared/audit/finding.ts';
import type { IndexRow } from '../../../shared/evidence/evidence-rules.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import { indexTables, selectionOf } from '../store/index-tables.ts';
import { attempt, type Owner } from './naming.ts';
import type { OpenedJobs } from './opened-jobs.ts';
import { rowsBetween } from './row-walk.ts';
import type { Verification } from './verification.ts';

type FoundRow = Readonly<Record<string, unknown>> & { readonly sequence: number; readonly jobId: string };

/** Compares the index tables with what the events say. */
export interface IndexCheck {
  /** Reads the rows of these places, both included. */
  read(first: number, last: number): void;
  /** Compares the rows of an event. @throws ZodError for a body that the rules do not know */
  check(event: StoredEvent, owner: () => Owner): void;
  /** Reports the rows read last that belong to no event. */
  finish(): void;
}

export function createIndexCheck(
  { database, rules, naming, report, suspect }: Verification,
  openedJobs: OpenedJobs,
): IndexCheck {
  const tables = indexTables.map((table) => {
    const source = `SELECT ${selectionOf(table)} FROM ${table} WHERE sequence`;
    return {
      table,
      between: database.prepare<[number, number], FoundRow>(`${source} BETWEEN ? AND ? ORDER BY sequence`),
      at: database.prepare<[number], FoundRow>(`${source} = ?`),
      rows: new Map<number, FoundRow[]>(),
    };
  });
  const byName = new Map(tables.map((entry) => [entry.table, entry]));

  function reportStranger(table: IndexRow['table'], { sequence, jobId }: FoundRow): void {
    const owner = attempt(() => naming.ofStream(`job/${jobId}`)) ?? naming.ofSequence(sequence);
    report('index', owner, sequence, finding('indexRowAdded', { table }));
  }

  return {
    read(first, last) {
      for (const { between, at, rows } of tables) {
        rows.clear();
        for (const row of rowsBetween(between, at, first, last)) {
          const others = rows.get(row.sequence);
          if (others === undefined) rows.set(row.sequence, [row]);
          else others.push(row);
        }
      }
    },
    check(event, owner) {
      const { sequence } = event;
      for (const { table, ...expected } of rules.indexRows(event, openedJobs.of(event))) {
        const rows = byName.get(table)?.rows;
        const found = rows?.get(sequence) ?? [];
        rows?.delete(sequence);
        const entries = Object.entries(expected);
        const right = found.find((row) => entries.every(([name, value]) => row[name] === value));
        const taken = right ?? found[0];
        if (right === undefined) {
          const what =
            taken === undefined
              ? finding('indexRowRemoved', { table })
              : finding('indexRowAltered', { table, event: sequence });
          report('index', owner(), sequence, what);
        }
        for (const row of found) if (row !== taken) reportStranger(table, row);
      }
    },
    finish() {
      for (const { table, rows } of tables) {
        for (const row of [...rows.values()].flat()) {
          // A place whose event cannot be believed: its rows are neither right nor wrong.
          if (!suspect.has(row.sequence)) reportStranger(table, row);
        }
      }
    },
  };
}
