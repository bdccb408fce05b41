import { createPieceOrder } from './piece-order.ts';
import { type ChainState, lastPieceOf, placesPerPiece } from './pieces.ts';
import type { Problem } from './problem.ts';
import type { VerifyNews } from './shared-work.ts';
import { runTask } from './task.ts';
import { brokenResult, type VerifyProgressCounts, type VerifyResult } from './verify-result.ts';

export interface VerifyRunOptions {
  readonly folder: string;
  /** Ids of keys known from elsewhere; left out: the first key of the chain is believed. */
  readonly trustedKeys?: readonly string[];
  /** `chain`: only the first stage. Left out: both. */
  readonly stages?: 'chain' | undefined;
  /** Threads that share the second stage, at most; left out: one. Findings and their order are the same for any. */
  readonly threads?: number;
  readonly onProblem: (problem: Problem) => void;
  readonly onProgress?: (progress: VerifyProgressCounts) => void;
  readonly signal?: AbortSignal;
}

/** Fewer pieces than this for each thread are not worth its start. */
const leastPieces = 2;

/**
 * Verifies a data folder in worker threads, beside a station that works there.
 *
 * @returns the result; null when `signal` stopped it
 * @throws StoreFault where there is nothing to verify
 */
export async function runVerify(options: VerifyRunOptions): Promise<VerifyResult | null> {
  const { folder, trustedKeys = [], stages, threads = 1, onProgress } = options;
  const counter = new SharedArrayBuffer(4);
  const stop = new AbortController();
  const signal = AbortSignal.any([stop.signal, ...(options.signal === undefined ? [] : [options.signal])]);
  const helpers: Promise<true | null>[] = [];
  let begun: (VerifyNews & { news: 'begin' }) | undefined;
  let failure: { readonly error: unknown } | undefined;
  let problemCount = 0;
  const order = createPieceOrder((problem) => {
    problemCount++;
    options.onProblem(problem);
  });
  const fail = (error: unknown) => {
    failure ??= { error };
    stop.abort();
    return null;
  };

  function startHelpers(state: ChainState): void {
    const count = Math.min(threads, Math.floor(lastPieceOf(state.upper) / leastPieces));
    const module = new URL('./content-worker.ts', import.meta.url);
    for (let helper = 1; helper < count; helper++) {
      const input = { folder, state, counter };
      helpers.push(runTask<true>({ module, input, onItem: hear, signal }).catch(fail));
    }
  }

  function hear(news: VerifyNews): void {
    if (news.news === 'problem') order.add(news.piece, news.problem);
    if (news.news === 'begin') {
      begun = news;
      startHelpers(news.state);
    }
    if (news.news === 'finished') order.finished(news.piece);
    if (news.news === 'problem' || begun === undefined || helpers.length === 0) return;
    const total = Math.max(1, begun.state.upper);
    const done = Math.min(total, order.finishedCount * placesPerPiece);
    onProgress?.({ stage: 'content', done, total, chain: begun.chain });
  }

  const result = await runTask<VerifyResult>({
    module: new URL('./verify-worker.ts', import.meta.url),
    input: { folder, trustedKeys, stages, counter },
    onItem: hear,
    onProgress(progress: VerifyProgressCounts) {
      if (helpers.length === 0) onProgress?.(progress);
    },
    signal,
  }).catch(fail);
  const helped = await Promise.all(helpers);
  if (failure !== undefined) throw failure.error;
  if (result === null || helped.includes(null)) return null;
  if (result.stage === 'chain') return { ...result, problemCount };
  const isWhole = begun !== undefined && order.next > lastPieceOf(begun.state.upper);
  if (!isWhole) return brokenResult('content', begun?.chain, problemCount);
  return { ...result, intact: problemCount === 0, problemCount };
}
