import { finding } from '../../../shared/audit/finding.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { openDatabaseToRead } from '../store/database.ts';
import { readHead } from '../store/head-file.ts';
import { StoreFault, storeFaultOf } from '../store/store-fault.ts';
import { nobody, problemOf } from './naming.ts';
import type { Problem } from './problem.ts';
import type { Replay } from './verification.ts';
import { type VerifyProgressCounts, type VerifyResult, verifyEvidence } from './verify.ts';

export interface VerifyFolderInput {
  readonly folder: string;
  /** Ids of keys known from elsewhere; empty: the first key of the chain is believed. */
  readonly trustedKeys: readonly string[];
  readonly replay: Replay;
  /** `chain`: only the first stage. Left out: both. */
  readonly stages?: 'chain' | undefined;
  readonly onProblem: (problem: Problem) => void;
}

/**
 * Verifies the data folder of a station, also while it writes. A database too damaged to be opened is a finding,
 * not a fault.
 *
 * @throws StoreFault where there is nothing to verify: `no_database`, `not_ours`, `newer_schema`, `busy` …
 */
export function* verifyFolder(input: VerifyFolderInput): Generator<VerifyProgressCounts, VerifyResult> {
  const { folder, trustedKeys, replay, stages, onProblem } = input;
  // Read first: the chain may grow meanwhile, the head must not seem to lead.
  const head = readHead(folder);
  try {
    const database = openDatabaseToRead(folder);
    try {
      const rules = jobEvidence;
      return yield* verifyEvidence({ database, head, rules, replay, trustedKeys, stages, onProblem });
    } finally {
      database.close();
    }
  } catch (error) {
    const fault = storeFaultOf(error);
    if (!(fault instanceof StoreFault) || fault.code !== 'damaged') throw fault ?? error;
    onProblem(problemOf('database', nobody, null, finding('databaseDamaged', { message: fault.message })));
    const found = { intact: false, problemCount: 1 };
    return {
      stage: stages ?? 'content',
      ...found,
      chain: found,
      events: 0,
      records: 0,
      documents: 0,
      keyIds: [],
    };
  }
}
