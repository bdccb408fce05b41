import { z } from 'zod';
import type { ChainState, Share } from './pieces.ts';
import type { Problem } from './problem.ts';
import type { ChainResult } from './verify-result.ts';

/** What a thread of a verification tells, in order. */
export type VerifyNews =
  | { readonly news: 'begin'; readonly state: ChainState; readonly chain: ChainResult }
  /** `piece`: null in the first stage. */
  | { readonly news: 'problem'; readonly piece: number | null; readonly problem: Problem }
  | { readonly news: 'finished'; readonly piece: number };

/** The number of the next piece, in memory that the threads of one verification share. */
export const counterSchema = z.instanceof(SharedArrayBuffer);

/** A thread's share, and how its findings are told. */
export function shareOf(
  counter: SharedArrayBuffer,
  tell: (news: VerifyNews) => void,
): { readonly share: Share; readonly onProblem: (problem: Problem) => void } {
  const next = new Int32Array(counter);
  let current: number | null = null;
  return {
    share: {
      begin: (state, chain) => tell({ news: 'begin', state, chain }),
      take() {
        current = Atomics.add(next, 0, 1);
        return current;
      },
      finished: (piece) => tell({ news: 'finished', piece }),
    },
    onProblem: (problem) => tell({ news: 'problem', piece: current, problem }),
  };
}
