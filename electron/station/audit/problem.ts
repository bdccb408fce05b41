import type { Finding } from '../../../shared/audit/finding.ts';
import type { ProblemKind } from '../../../shared/audit/problem-kind.ts';

/** One finding of `verify`, with the name of what it concerns as far as it can still be told. */
export interface Problem {
  readonly kind: ProblemKind;
  readonly serial: string | null;
  readonly jobId: string | null;
  /** Place in the chain; the first one where several are concerned. */
  readonly sequence: number | null;
  readonly stream: string | null;
  readonly finding: Finding;
  /** The same as a plain English sentence that names the record and what is wrong. */
  readonly sentence: string;
}

/** How far a check is. */
export interface VerifyCounts {
  readonly events: number;
  readonly total: number;
  readonly records: number;
  readonly problems: number;
}
