import type { EvidenceRules } from '../../../shared/evidence/evidence-rules.ts';
import type { Head } from '../store/head-file.ts';
import type { Database } from '../store/sqlite.ts';
import { checkChain } from './check-chain.ts';
import { checkDocuments } from './check-documents.ts';
import { checkHead } from './check-head.ts';
import { checkRecords } from './check-records.ts';
import { checkSeals } from './check-seals.ts';
import { checkSchema } from './check-structure.ts';
import { checkVersions } from './check-versions.ts';
import { checkPieces } from './content-pieces.ts';
import { attempt, createNaming } from './naming.ts';
import type { Share } from './pieces.ts';
import type { Problem } from './problem.ts';
import { createVerification, type Replay, type Verification } from './verification.ts';
import type { VerifyProgressCounts, VerifyResult } from './verify-result.ts';

export interface VerifyInput {
  readonly database: Database;
  readonly head: Head | 'missing' | 'unreadable';
  readonly rules: EvidenceRules;
  readonly replay: Replay;
  /** Ids of keys that the auditor knows from elsewhere; then only these may sign. */
  readonly trustedKeys: readonly string[];
  /** `chain`: only the first stage. Left out: both. */
  readonly stages?: 'chain' | undefined;
  /** What of the second stage is done here. */
  readonly share: Share;
  readonly onProblem: (problem: Problem) => void;
}

/**
 * Checks all evidence in bounded memory, and goes on whatever it meets: first the chain, then the content. A generator:
 * yields how far it is, so that whoever runs it may report, pause or stop; problems are handed out as they are found.
 */
export function* verifyEvidence(input: VerifyInput): Generator<VerifyProgressCounts, VerifyResult> {
  const { database, rules, replay, trustedKeys } = input;
  let problemCount = 0;
  const onProblem = (problem: Problem) => {
    problemCount++;
    input.onProblem(problem);
  };
  const upper = lastPlace(database);
  const naming = createNaming(database);
  const verification = createVerification({ database, rules, replay, naming, upper, trustedKeys }, onProblem);
  const total = Math.max(1, upper);
  const counts = yield* verifyChain(verification, input.head);
  const chain = { intact: problemCount === 0, problemCount };
  if (input.stages !== 'chain') {
    const { keys, suspect, alteredRecords, rewrittenFrom } = verification;
    input.share.begin({ upper, keys, suspect, alteredRecords, rewrittenFrom }, chain);
    yield { stage: 'content', done: 0, total, chain };
    for (const done of checkPieces(verification, input.share)) yield { stage: 'content', done, total, chain };
  }
  const keyIds = verification.keys.map(({ keyId }) => keyId);
  const stage = input.stages === 'chain' ? 'chain' : 'content';
  return { stage, intact: problemCount === 0, chain, events: upper, ...counts, problemCount, keyIds };
}

/** The first stage. */
function* verifyChain(
  verification: Verification,
  head: VerifyInput['head'],
): Generator<VerifyProgressCounts, Pick<VerifyResult, 'records' | 'documents'>> {
  const { database, upper } = verification;
  const total = Math.max(1, upper);
  const at = (done: number): VerifyProgressCounts => ({
    ...{ stage: 'chain', done: Math.floor(done), total, chain: null },
  });
  const lastEvent = attempt(() => maximum(database, 'event')) ?? upper;
  checkSchema(verification);
  // The walk takes about half of the time, seals and records a quarter each.
  const { documents, recordsSigned } = yield* stepsOf(checkChain(verification), (sequence) =>
    at(sequence / 2),
  );
  checkVersions(verification);
  yield* stepsOf(checkSeals(verification), (sequence) => at(upper / 2 + sequence / 4));
  checkHead(verification, head, lastEvent);
  const records = yield* stepsOf(checkRecords(verification, recordsSigned), (sequence) =>
    at((upper * 3) / 4 + sequence / 4),
  );
  for (const _ of checkDocuments(verification)) yield at(upper);
  return { records, documents };
}

/** The steps of a check, each told in other words. */
function* stepsOf<Step, Told, Result>(
  steps: Generator<Step, Result>,
  tell: (step: Step) => Told,
): Generator<Told, Result> {
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value;
    yield tell(step.value);
  }
}

/** The last place in the chain that anything speaks of: the event may be gone while its index row stands. */
function lastPlace(database: Database): number {
  const places = ['event', 'seal', 'record', 'capture', 'job', 'job_end', 'consumption'];
  return Math.max(0, ...places.map((table) => attempt(() => maximum(database, table)) ?? 0));
}

function maximum(database: Database, table: string): number {
  return Number(database.prepare(`SELECT coalesce(max(sequence), 0) FROM ${table}`).pluck().get());
}
