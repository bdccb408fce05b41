import type { VerifyProgress } from '../../shared/contract.ts';
import { runVerify as runVerifyInWorker } from './audit/verify-run.ts';

/** Findings shown on a screen; the command line and the exports show all. */
const shownProblems = 200;

/** Verifies the evidence beside the work and tells a screen how far it is and what was found. */
export async function runVerify(
  folder: string,
  onProgress: (progress: VerifyProgress) => void,
): Promise<void> {
  const problems: VerifyProgress['problems'][number][] = [];
  const result = await runVerifyInWorker({
    folder,
    onProblem: ({ serial, sequence, kind, sentence }) => {
      if (problems.length < shownProblems) problems.push({ serial, sequence, kind, sentence });
    },
    onProgress: (progress) =>
      onProgress({ ...progress, finished: false, intact: null, problems: [...problems] }),
  });
  const events = result?.events ?? 0;
  onProgress({ done: events, total: events, finished: true, intact: result?.intact ?? null, problems });
}
