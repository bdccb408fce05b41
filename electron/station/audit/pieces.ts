import type { Verification } from './verification.ts';
import type { ChainResult } from './verify-result.ts';

/**
 * Places of the chain in one piece of the second stage. Findings do not depend on who checks which piece: whatever
 * a piece needs of what lies before it, it reads from the database.
 */
export const placesPerPiece = 500;

/** Number of the last piece: behind those of the chain comes the file itself. */
export function lastPieceOf(upper: number): number {
  return Math.ceil(upper / placesPerPiece);
}

/** What the second stage must know of the first. */
export type ChainState = Pick<
  Verification,
  'upper' | 'keys' | 'suspect' | 'alteredRecords' | 'rewrittenFrom'
>;

/** The second stage, shared out among threads. */
export interface Share {
  /** The first stage has ended. */
  begin(state: ChainState, chain: ChainResult): void;
  /** The next piece that nobody has taken yet. What is found from now on belongs to it. */
  take(): number;
  finished(piece: number): void;
}

/** All of it for one thread. */
export function wholeShare(): Share {
  let next = 0;
  return { begin: () => undefined, take: () => next++, finished: () => undefined };
}
