import type { EvidenceRules } from '../../../shared/evidence/evidence-rules.ts';
import type { Head } from '../store/head-file.ts';
import type { Database } from '../store/sqlite.ts';
import { checkChain } from './check-chain.ts';
import { checkContent } from './check-content.ts';
import { checkDocuments } from './check-documents.ts';
import { checkHead } from './check-head.ts';
import { checkRecords } from './check-records.ts';
import { checkSeals } from './check-seals.ts';
import { checkFile, checkSchema } from './check-structure.ts';
import { checkVersions } from './check-versions.ts';
import { attempt, createNaming } from './naming.ts';
import type { Problem } from './problem.ts';
import { createVerification, type Replay, type Verification } from './verification.ts';

export interface VerifyInput {
  readonly database: Database;
  readonly head: Head | 'missing' | 'unreadable';
  readonly rules: EvidenceRules;
  readonly replay: Replay;
  /** Ids of keys that the auditor knows from elsewhere; then only these may sign. */
  readonly trustedKeys: readonly string[];
  /** `chain`: only the first stage. Left out: both. */
  readonly stages?: 'chain' | undefined;
  readonly onProblem: (problem: Problem) => void;
}

/**
 * `chain`: every event, record and document is byte for byte what the station sealed, none is missing and none was
 * added. `content`: what they say agrees, once it is known that they are the station's.
 */
export type VerifyStage = 'chain' | 'content';

/** The result of the first stage, known long before that of the second. It says nothing of index, replay and file. */
export interface ChainResult {
  readonly intact: boolean;
  readonly problemCount: number;
}

export interface VerifyProgressCounts {
  readonly stage: VerifyStage;
  /** Places of the chain in this stage. */
  readonly done: number;
  readonly total: number;
  /** Null while the first stage runs. */
  readonly chain: ChainResult | null;
}

export interface VerifyResult {
  /** The last stage that was done. */
  readonly stage: VerifyStage;
  /** No finding in any stage that was done. */
  readonly intact: boolean;
  readonly chain: ChainResult;
  readonly events: number;
  readonly records: number;
  readonly documents: number;
  readonly problemCount: number;
  /** The keys that signed, in the order in which they came. Compare them with what the workshop gave you. */
  readonly keyIds: readonly string[];
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
    yield { stage: 'content', done: 0, total, chain };
    for (const done of checkContent(verification, { first: 1, last: upper }))
      yield { stage: 'content', done, total, chain };
    checkFile(verification);
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
