import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { finding } from '../../../shared/audit/finding.ts';
import { nobody, problemOf } from '../audit/naming.ts';
import type { Problem } from '../audit/problem.ts';
import type { VerifyProgressCounts, VerifyResult } from '../audit/verify-result.ts';
import { runVerify } from '../audit/verify-run.ts';
import { hexOf } from '../store/event-row.ts';
import type { SiteClient } from './site-client.ts';
import { copyChain } from './site-copy.ts';
import type { SiteChain } from './site-rows.ts';

export interface SiteVerifyOptions {
  readonly chains: readonly SiteChain[];
  readonly branch: SiteChain;
  readonly trustedKeys: readonly string[];
  /** `chain`: only the first stage. Left out: both. */
  readonly stages?: 'chain' | undefined;
  /** Threads that share the second stage. */
  readonly threads: number;
  readonly onProblem: (problem: Problem) => void;
  /** How much of the chain was fetched, before the check begins. */
  readonly onFetched?: (progress: Pick<VerifyProgressCounts, 'done' | 'total'>) => void;
  readonly onProgress?: (progress: VerifyProgressCounts) => void;
  readonly signal?: AbortSignal;
}

/**
 * Verifies the chain of a station from the site store alone: the same checks as on the station's own data folder, over
 * a copy of the rows in a folder that goes away. Needs about as much room on the disk as the station's database has.
 *
 * @returns null when `signal` stopped it
 * @throws SiteFault, StoreFault
 */
export async function verifyAtSite(
  client: SiteClient,
  options: SiteVerifyOptions,
): Promise<VerifyResult | null> {
  const { chains, branch, trustedKeys, stages, threads, onProgress, signal } = options;
  const folder = mkdtempSync(join(tmpdir(), 'bandwright-verify-'));
  let found = 0;
  const onProblem = (problem: Problem) => {
    found += 1;
    options.onProblem(problem);
  };
  try {
    const isWhole = await copyChain(client, chains, branch, folder, {
      onProgress: options.onFetched,
      signal,
    });
    if (!isWhole) return null;
    const result = await runVerify({
      folder,
      trustedKeys,
      stages,
      threads,
      onProblem,
      ...(onProgress === undefined ? {} : { onProgress }),
      ...(signal === undefined ? {} : { signal }),
    });
    if (result === null) return null;
    // What the site acknowledged last, kept apart from the events.
    if (result.events < branch.sequence) {
      const hash = `${hexOf(branch.hash).slice(0, 16)}…`;
      const what = finding('siteEndCutOff', { event: branch.sequence, hash });
      onProblem(problemOf('truncated', nobody, result.events + 1, what));
    }
    const chain = { ...result.chain };
    if (found > result.problemCount) {
      chain.intact = false;
      chain.problemCount++;
    }
    return { ...result, chain, intact: found === 0, problemCount: found };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
