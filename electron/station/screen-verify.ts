import type { VerifyProgress } from '../../shared/contract.ts';
import { threadsBesideWork } from './audit/background-thread.ts';
import type { Problem } from './audit/problem.ts';
import type { VerifyResult } from './audit/verify-result.ts';
import { runVerify, type VerifyRunOptions } from './audit/verify-run.ts';

/** Most problems that are shown; the command line lists them all. */
const mostShown = 200;

/** Verifies a data folder beside the work and tells a screen how far it is, at most some times a second. Null: stopped. */
export function startScreenVerify(
  folder: string,
  tell: (progress: VerifyProgress) => void,
  signal: AbortSignal,
): Promise<VerifyResult | null> {
  return tellVerify((run) => runVerify({ folder, signal, threads: threadsBesideWork(), ...run }), tell);
}

/** Runs a check and tells a screen how far it is, at most some times a second. */
export async function tellVerify(
  verify: (run: Pick<VerifyRunOptions, 'onProblem' | 'onProgress'>) => Promise<VerifyResult | null>,
  tell: (progress: VerifyProgress) => void,
): Promise<VerifyResult | null> {
  const problems: Problem[] = [];
  const shown = () => problems.map(({ sentence: _sentence, ...problem }) => problem);
  let counts: Pick<VerifyProgress, 'done' | 'total' | 'chainIntact'> = {
    done: 0,
    total: 0,
    chainIntact: null,
  };
  let toldAt = 0;
  const result = await verify({
    onProblem: (problem) => {
      if (problems.length < mostShown) problems.push(problem);
    },
    onProgress: (progress) => {
      const { done, total, chain } = progress;
      const chainIntact = chain?.intact ?? null;
      const isNew = chainIntact !== counts.chainIntact;
      counts = { done, total, chainIntact };
      const now = performance.now();
      if (now - toldAt < 200 && !isNew) return;
      toldAt = now;
      tell({ ...counts, finished: false, stopped: false, intact: null, problems: shown() });
    },
  });
  if (result === null) {
    tell({ ...counts, finished: false, stopped: true, intact: null, problems: shown() });
    return null;
  }
  const { events, intact, chain } = result;
  counts = { done: events, total: events, chainIntact: chain.intact };
  tell({ ...counts, finished: true, stopped: false, intact, problems: shown() });
  return result;
}
