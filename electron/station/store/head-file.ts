import { closeSync, fsyncSync, openSync, readFileSync, renameSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import { hashSchema } from '../../../shared/identifier.ts';

const headSchema = z.strictObject({
  sequence: z.int().positive(),
  hash: hashSchema,
  previousSeal: hashSchema,
  keyId: hashSchema,
  /** Ed25519 over `sealText`, base64. */
  signature: z.base64(),
});
/** The chain's last known end, signed: kept beside the database so that a cut-off tail is noticed. */
export type Head = z.infer<typeof headSchema>;

export const headFileName = 'station.head';

/** Replaces the head file: whole and on the disk, or not at all. Written after the commit, so it may lag, never lead. */
export function writeHead(folder: string, head: Head): void {
  const file = join(folder, headFileName);
  const descriptor = openSync(`${file}.new`, 'w', 0o644);
  try {
    writeSync(descriptor, `${canonicalJson(head)}\n`);
    fsyncSync(descriptor);
  } finally {
    closeSync(descriptor);
  }
  renameSync(`${file}.new`, file);
}

/** The head file of a folder: the head, `missing`, or `unreadable`. */
export function readHead(folder: string): Head | 'missing' | 'unreadable' {
  let text: string;
  try {
    text = readFileSync(join(folder, headFileName), 'utf8');
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return 'missing';
    return 'unreadable';
  }
  try {
    return headSchema.parse(JSON.parse(text));
  } catch {
    return 'unreadable';
  }
}
