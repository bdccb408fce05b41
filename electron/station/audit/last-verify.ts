import { join } from 'node:path';
import { z } from 'zod';
import { readKept, writeKept } from '../kept-file.ts';

const lastVerifySchema = z.object({
  /** When it ended, ISO 8601 with offset. */
  at: z.string(),
  intact: z.boolean(),
  events: z.int().nonnegative(),
  problemCount: z.int().nonnegative(),
});
export type LastVerify = z.infer<typeof lastVerifySchema>;

const fileName = 'last-verify.json';

/** Remembers how the last verification ended, so that `doctor` can say so. No evidence: only a run of `verify` proves. */
export function noteLastVerify(dataFolder: string, { at, intact, events, problemCount }: LastVerify): void {
  try {
    writeKept(join(dataFolder, fileName), { at, intact, events, problemCount });
  } catch {
    // An auditor may look at a folder that must not be written.
  }
}

export function readLastVerify(dataFolder: string): LastVerify | null {
  return readKept(join(dataFolder, fileName), lastVerifySchema);
}
