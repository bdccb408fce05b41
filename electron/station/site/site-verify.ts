import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { nobody, problemOf } from '../audit/naming.ts';
import type { Problem } from '../audit/problem.ts';
import type { VerifyProgressCounts, VerifyResult } from '../audit/verify.ts';
import { runVerify } from '../audit/verify-run.ts';
import { hexOf } from '../store/event-row.ts';
import type { SiteClient } from './site-client.ts';
import { copyChain } from './site-copy.ts';
import type { SiteChain } from './site-rows.ts';

export interface SiteVerifyOptions {
  readonly chains: readonly SiteChain[];
  readonly branch: SiteChain;
  readonly trustedKeys: readonly string[];
  readonly onProblem: (problem: Problem) => void;
  readonly onProgress?: (progress: VerifyProgressCounts) => void;
}

/**
 * Verifies the chain of a station from the site store alone: the same checks as on the station's own data folder, over
 * a copy of the rows in a folder that goes away. Needs about as much room on the disk as the station's database has.
 *
 * @throws SiteFault, StoreFault
 */
export async function verifyAtSite(client: SiteClient, options: SiteVerifyOptions): Promise<VerifyResult> {
  const { chains, branch, trustedKeys, onProgress } = options;
  const folder = mkdtempSync(join(tmpdir(), 'bandwright-verify-'));
  let found = 0;
  const onProblem = (problem: Problem) => {
    found += 1;
    options.onProblem(problem);
  };
  try {
    await copyChain(client, chains, branch, folder);
    const result = await runVerify({
      folder,
      trustedKeys,
      onProblem,
      ...(onProgress === undefined ? {} : { onProgress }),
    });
    if (result === null) throw new Error('nobody stops this check');
    // What the site acknowledged last, kept apart from the events.
    if (result.events < branch.sequence) {
      const what = `the end of the chain was cut off: the site had taken events up to ${branch.sequence} (${hexOf(branch.hash).slice(0, 16)}…)`;
      onProblem(problemOf('truncated', nobody, result.events + 1, what));
    }
    return { ...result, intact: found === 0, problemCount: found };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
