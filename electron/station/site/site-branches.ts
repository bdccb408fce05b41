import type { VisitPlaceView } from '../../../shared/audit/view.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import type { Database } from '../store/sqlite.ts';
import { type BranchDatabase, borrowDatabase } from './branch-database.ts';
import type { RowOfChain, SiteJobs } from './site-jobs.ts';
import { type ChainTable, stretchesOf } from './site-rows.ts';

/** One branch of a station, as far as its rows were fetched. */
export interface SiteBranch {
  readonly benchId: string;
  readonly stationId: string;
  readonly branch: number;
  /** Of the chain that it adds. */
  readonly chainId: number;
  /** The station went on without what only this branch has. */
  readonly isOlder: boolean;
  readonly database: Database;
  /** Answers as that of the station itself does. */
  readonly reader: EvidenceReader;
  /** Is this place of a chain one of its own, or of a parent's up to where it begins? */
  has(chainId: number, sequence: number): boolean;
}

/** Where a branch is, as a screen names it. */
export function placeOfBranch({
  benchId,
  stationId,
  branch,
  isOlder,
}: Pick<SiteBranch, 'benchId' | 'stationId' | 'branch' | 'isOlder'>): VisitPlaceView {
  return { benchId, stationId, branch, leftBehind: isOlder };
}

/** Every branch of every station, of each station the newest first. Close it when it is told. */
export interface SiteBranches {
  readonly branches: readonly SiteBranch[];
  close(): void;
}

/** Puts the rows of jobs into databases in memory, one for each branch, as the stations have them. */
export function openBranches(jobs: SiteJobs): SiteBranches {
  const lent: BranchDatabase[] = [];
  const stations = new Set(jobs.chains.map(({ station_id }) => station_id));
  const branches = [...stations].flatMap((station) => {
    const chains = jobs.chains.filter(({ station_id }) => station_id === station);
    return chains.toReversed().map((chain, age): SiteBranch => {
      const stretches = stretchesOf(chains, chain);
      const has = (chainId: number, sequence: number) =>
        stretches.some((one) => chainId === one.chainId && sequence > one.after && sequence <= one.upTo);
      const borrowed = borrowDatabase();
      lent.push(borrowed);
      for (const [table, rows] of Object.entries(jobs.rows) as [ChainTable, readonly RowOfChain[]][])
        borrowed.put(
          table,
          rows.filter(({ chain_id, sequence }) => has(chain_id, sequence)),
        );
      borrowed.put('document', jobs.documents);
      return {
        benchId: chain.bench_id,
        stationId: chain.station_id,
        branch: chain.branch,
        chainId: chain.chain_id,
        isOlder: age > 0,
        database: borrowed.database,
        reader: borrowed.reader,
        has,
      };
    });
  });
  return {
    branches,
    close() {
      for (const one of lent) one.giveBack();
    },
  };
}
