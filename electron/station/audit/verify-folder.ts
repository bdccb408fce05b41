import { finding } from '../../../shared/audit/finding.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { openDatabaseToRead } from '../store/database.ts';
import { readHead } from '../store/head-file.ts';
import { StoreFault, storeFaultOf } from '../store/store-fault.ts';
import { checkPieces } from './content-pieces.ts';
import { createNaming, nobody, problemOf } from './naming.ts';
import { type ChainState, type Share, wholeShare } from './pieces.ts';
import type { Problem } from './problem.ts';
import { createVerification, type Replay } from './verification.ts';
import { verifyEvidence } from './verify.ts';
import {
  brokenResult,
  type ChainResult,
  type VerifyProgressCounts,
  type VerifyResult,
} from './verify-result.ts';

export interface VerifyFolderInput {
  readonly folder: string;
  /** Ids of keys known from elsewhere; empty: the first key of the chain is believed. */
  readonly trustedKeys: readonly string[];
  readonly replay: Replay;
  /** `chain`: only the first stage. Left out: both. */
  readonly stages?: 'chain' | undefined;
  /** What of the second stage is done here; left out: all of it. */
  readonly share?: Share;
  readonly onProblem: (problem: Problem) => void;
}

/**
 * Verifies the data folder of a station, also while it writes. A database too damaged to be opened is a finding,
 * not a fault.
 *
 * @throws StoreFault where there is nothing to verify: `no_database`, `not_ours`, `newer_schema`, `busy` …
 */
export function* verifyFolder(input: VerifyFolderInput): Generator<VerifyProgressCounts, VerifyResult> {
  const { folder, trustedKeys, replay, stages, onProblem, share: given = wholeShare() } = input;
  let known: ChainResult | undefined;
  const share: Share = {
    ...given,
    begin(state, chain) {
      known = chain;
      given.begin(state, chain);
    },
  };
  // Read first: the chain may grow meanwhile, the head must not seem to lead.
  const head = readHead(folder);
  try {
    const database = openDatabaseToRead(folder);
    try {
      const rules = jobEvidence;
      return yield* verifyEvidence({ database, head, rules, replay, trustedKeys, stages, share, onProblem });
    } finally {
      database.close();
    }
  } catch (error) {
    reportDamage(error, onProblem);
    return brokenResult(stages ?? 'content', known, 1);
  }
}

export interface VerifyPiecesInput extends Pick<VerifyFolderInput, 'folder' | 'replay' | 'onProblem'> {
  /** From whoever walked the chain. */
  readonly state: ChainState;
  readonly share: Share;
}

/** A share of the second stage for one more thread. Yields the place it is at. */
export function* verifyPieces(input: VerifyPiecesInput): Generator<number, true> {
  const { folder, replay, state, share, onProblem } = input;
  try {
    const database = openDatabaseToRead(folder);
    try {
      const naming = createNaming(database);
      const parts = { database, rules: jobEvidence, replay, naming, trustedKeys: [] };
      const verification = createVerification({ ...parts, upper: state.upper }, onProblem);
      yield* checkPieces({ ...verification, ...state }, share);
    } finally {
      database.close();
    }
  } catch (error) {
    reportDamage(error, onProblem);
  }
  return true;
}

function reportDamage(error: unknown, onProblem: (problem: Problem) => void): void {
  const fault = storeFaultOf(error);
  if (!(fault instanceof StoreFault) || fault.code !== 'damaged') throw fault ?? error;
  onProblem(problemOf('database', nobody, null, finding('databaseDamaged', { message: fault.message })));
}
