import { createEvidenceReader, type EvidenceReader } from '../store/evidence-reader.ts';
import { migrations } from '../store/migrations/all.ts';
import { type Database, openSqlite } from '../store/sqlite.ts';
import { inserterOf, takeAnything, withoutGuards } from './site-copy.ts';
import { type ChainRow, type ChainTable, chainTables } from './site-rows.ts';

type Table = ChainTable | 'document';

/** A database in memory for the rows of a branch. */
export interface BranchDatabase {
  readonly database: Database;
  /** Answers until the database is given back. */
  readonly reader: EvidenceReader;
  put(table: Table, rows: readonly ChainRow[]): void;
  giveBack(): void;
}

/** A database with what reads and writes it; to prepare that takes longer than most questions take. */
interface Kept {
  readonly database: Database;
  readonly reader: EvidenceReader;
  readonly put: ReadonlyMap<Table, (rows: readonly ChainRow[]) => void>;
  empty(): void;
}

const tables: readonly Table[] = [...(Object.keys(chainTables) as ChainTable[]), 'document'];
const idle: Kept[] = [];
const mostIdle = 8;
/** One that had to grow further (4 KiB each) is not kept. */
const mostPages = 1000;

/** An empty database, which is to be given back. */
export function borrowDatabase(): BranchDatabase {
  const kept = idle.pop() ?? make();
  // Whoever reads on after giving it back must not see what another question put there.
  const { proxy: reader, revoke } = Proxy.revocable(kept.reader, {});
  return {
    database: kept.database,
    reader,
    put: (table, rows) => kept.put.get(table)?.(rows),
    giveBack() {
      revoke();
      const isSmall = Number(kept.database.pragma('page_count', { simple: true })) <= mostPages;
      if (!isSmall || idle.length >= mostIdle) {
        kept.database.close();
        return;
      }
      kept.empty();
      idle.push(kept);
    },
  };
}

/** A database without rows, made once. */
let template: Buffer | undefined;

function make(): Kept {
  if (template === undefined) {
    const made = openSqlite(':memory:', {});
    for (const { sql } of migrations) made.exec(sql);
    // What was altered is shown as altered, not refused.
    withoutGuards(made);
    template = made.serialize();
    made.close();
  }
  const database = openSqlite(template, {});
  takeAnything(database);
  const removals = tables.map((table) => database.prepare(`DELETE FROM ${table}`));
  return {
    database,
    reader: createEvidenceReader(database),
    put: new Map(tables.map((table) => [table, inserterOf(database, table)])),
    empty: database.transaction(() => {
      for (const removal of removals) removal.run();
    }),
  };
}
