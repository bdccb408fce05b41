import type { Problem } from './problem.ts';
import { runTask } from './task.ts';
import type { VerifyProgressCounts, VerifyResult } from './verify.ts';

export interface VerifyRunOptions {
  readonly folder: string;
  /** Ids of keys known from elsewhere; left out: the first key of the chain is believed. */
  readonly trustedKeys?: readonly string[];
  /** `chain`: only the first stage. Left out: both. */
  readonly stages?: 'chain' | undefined;
  readonly onProblem: (problem: Problem) => void;
  readonly onProgress?: (progress: VerifyProgressCounts) => void;
  readonly signal?: AbortSignal;
}

/**
 * Verifies a data folder in a worker thread, beside a station that works there.
 *
 * @returns the result; null when `signal` stopped it
 * @throws StoreFault where there is nothing to verify
 */
export function runVerify(options: VerifyRunOptions): Promise<VerifyResult | null> {
  const { folder, trustedKeys = [], stages, onProblem, onProgress, signal } = options;
  const module = new URL('./verify-worker.ts', import.meta.url);
  return runTask({ module, input: { folder, trustedKeys, stages }, onItem: onProblem, onProgress, signal });
}
