import type { EvidenceRules } from '../../../shared/evidence/evidence-rules.ts';
import type { Head } from '../store/head-file.ts';
import type { Database } from '../store/sqlite.ts';
import { checkChain } from './check-chain.ts';
import { createEventContent } from './check-content.ts';
import { checkDocuments } from './check-documents.ts';
import { checkHead } from './check-head.ts';
import { checkRecords } from './check-records.ts';
import { checkSeals } from './check-seals.ts';
import { checkFile, checkSchema } from './check-structure.ts';
import { checkVersions } from './check-versions.ts';
import { attempt, createNaming } from './naming.ts';
import type { Problem } from './problem.ts';
import { createVerification, type Replay } from './verification.ts';

export interface VerifyInput {
  readonly database: Database;
  readonly head: Head | 'missing' | 'unreadable';
  readonly rules: EvidenceRules;
  readonly replay: Replay;
  /** Ids of keys that the auditor knows from elsewhere; then only these may sign. */
  readonly trustedKeys: readonly string[];
  readonly onProblem: (problem: Problem) => void;
}

export interface VerifyProgressCounts {
  readonly done: number;
  readonly total: number;
}

export interface VerifyResult {
  readonly intact: boolean;
  readonly events: number;
  readonly records: number;
  readonly documents: number;
  readonly problemCount: number;
  /** The keys that signed, in the order in which they came. Compare them with what the workshop gave you. */
  readonly keyIds: readonly string[];
}

/**
 * Checks all evidence in bounded memory, and goes on whatever it meets. A generator: yields how far it is, so that
 * whoever runs it may report, pause or stop; problems are handed out as they are found.
 */
export function* verifyEvidence(input: VerifyInput): Generator<VerifyProgressCounts, VerifyResult> {
  const { database, rules, replay } = input;
  let problemCount = 0;
  const onProblem = (problem: Problem) => {
    problemCount++;
    input.onProblem(problem);
  };
  const upper = lastPlace(database);
  const lastEvent = attempt(() => maximum(database, 'event')) ?? upper;
  const naming = createNaming(database);
  const verification = createVerification(
    { database, rules, replay, naming, upper, trustedKeys: input.trustedKeys },
    onProblem,
  );
  const content = createEventContent(verification);
  const total = Math.max(1, upper * 2);
  checkSchema(verification);
  for (const sequence of checkChain(verification, content)) yield { done: sequence, total };
  content.finish();
  checkVersions(verification);
  for (const sequence of checkSeals(verification)) yield { done: upper + Math.floor(sequence / 4), total };
  checkHead(verification, input.head, lastEvent);
  let records = 0;
  for (const sequence of checkRecords(verification)) {
    records++;
    yield { done: upper + Math.floor(upper / 4 + sequence / 2), total };
  }
  for (const _ of checkDocuments(verification)) yield { done: upper + Math.floor((upper * 3) / 4), total };
  checkFile(verification);
  const keyIds = verification.keys.map(({ keyId }) => keyId);
  yield { done: total, total };
  return {
    intact: problemCount === 0,
    events: upper,
    records,
    documents: content.documentsPut,
    problemCount,
    keyIds,
  };
}

/** The last place in the chain that anything speaks of: the event may be gone while its index row stands. */
function lastPlace(database: Database): number {
  const places = ['event', 'seal', 'record', 'capture', 'job', 'job_end', 'consumption'];
  return Math.max(0, ...places.map((table) => attempt(() => maximum(database, table)) ?? 0));
}

function maximum(database: Database, table: string): number {
  return Number(database.prepare(`SELECT coalesce(max(sequence), 0) FROM ${table}`).pluck().get());
}
