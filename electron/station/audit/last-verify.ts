import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';

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
  const file = join(dataFolder, fileName);
  try {
    writeFileSync(`${file}.new`, JSON.stringify({ at, intact, events, problemCount }), { mode: 0o600 });
    renameSync(`${file}.new`, file);
  } catch {
    // An auditor may look at a folder that must not be written.
  }
}

export function readLastVerify(dataFolder: string): LastVerify | null {
  try {
    return lastVerifySchema.parse(JSON.parse(readFileSync(join(dataFolder, fileName), 'utf8')));
  } catch {
    return null;
  }
}
