import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import type { z } from 'zod';

/**
 * Puts a small JSON file of its owner alone (mode 0600) in its place, whole: a stop in between leaves the former one.
 * Not for evidence: it does not wait for the disk, and a power cut may take it.
 */
export function writeKept(file: string, content: unknown): void {
  writeFileSync(`${file}.new`, JSON.stringify(content), { mode: 0o600 });
  renameSync(`${file}.new`, file);
}

/** What such a file holds; null where it is missing, damaged or somebody else's. */
export function readKept<Content>(file: string, schema: z.ZodType<Content>): Content | null {
  try {
    return schema.parse(JSON.parse(readFileSync(file, 'utf8')));
  } catch {
    return null;
  }
}
