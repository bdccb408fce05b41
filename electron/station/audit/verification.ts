import type { Finding } from '../../../shared/audit/finding.ts';
import type { ProblemKind } from '../../../shared/audit/problem-kind.ts';
import type { EvidenceRules, FindDocument } from '../../../shared/evidence/evidence-rules.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import type { StationKey } from '../store/known-keys.ts';
import type { Database } from '../store/sqlite.ts';
import type { Naming, Owner } from './naming.ts';
import { problemOf } from './naming.ts';
import type { Problem } from './problem.ts';

/** What a replay of one stored event found wrong: bytes that read otherwise, or a decision that comes out otherwise. */
export interface ReplayFinding {
  readonly kind: 'replay' | 'judgement';
  /** What is wrong, without the name of the record. */
  readonly finding: Finding;
}

/** Runs the raw bytes of an event through the stored profile and judges again. No findings: the same as then. */
export type Replay = (event: StoredEvent, findDocument: FindDocument) => readonly ReplayFinding[];

/** What the parts of one verification share. */
export interface Verification {
  readonly database: Database;
  readonly rules: EvidenceRules;
  readonly replay: Replay;
  readonly naming: Naming;
  /** Last place in the chain that is looked at; what a station adds meanwhile is left for the next time. */
  readonly upper: number;
  /** Ids of keys that the auditor knows from elsewhere; empty: the first key of the chain is believed. */
  readonly trustedKeys: readonly string[];
  /** The station's keys, as the chain introduced them. */
  keys: readonly StationKey[];
  /** Places that were found wrong, so that what follows from them is not reported again. */
  readonly suspect: Set<number>;
  /** Records whose bytes were found wrong: what they say is not looked at any more. */
  readonly alteredRecords: Set<number>;
  /** Streams of which an event was reported missing. */
  readonly incomplete: Set<string>;
  /** From here on the chain was written anew without the station's key; undefined when it was not. */
  rewrittenFrom: number | undefined;
  report(kind: ProblemKind, owner: Owner, sequence: number | null, finding: Finding): void;
}

/** Collects what is shared; the problems go to `onProblem` as they are found. */
export function createVerification(
  parts: Pick<Verification, 'database' | 'rules' | 'replay' | 'naming' | 'upper' | 'trustedKeys'>,
  onProblem: (problem: Problem) => void,
): Verification {
  return {
    ...parts,
    keys: [],
    suspect: new Set(),
    alteredRecords: new Set(),
    incomplete: new Set(),
    rewrittenFrom: undefined,
    report: (kind, owner, sequence, finding) => onProblem(problemOf(kind, owner, sequence, finding)),
  };
}
