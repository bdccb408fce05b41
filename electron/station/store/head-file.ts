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

/** Two places of this size, written by turns in place: one of them is whole whenever the other is being written. */
const placeBytes = 512;
const places = [0, 1] as const;

/**
 * Writes the head. After the commit, so it may lag, never lead. Without waiting for the disk: a power cut leaves an
 * older head, which says nothing wrong, and the commit is on the disk without it.
 */
export function writeHead(folder: string, head: Head): void {
  const file = join(folder, headFileName);
  const held = readPlaces(file);
  if (held === undefined) createHeadFile(file, head);
  else writePlace(file, (held[0]?.sequence ?? 0) <= (held[1]?.sequence ?? 0) ? 0 : 1, head);
}

/** The head file of a folder: the newest head in it, `missing`, or `unreadable`. */
export function readHead(folder: string): Head | 'missing' | 'unreadable' {
  const file = join(folder, headFileName);
  try {
    let text = readFileSync(file, 'latin1');
    // A station that writes just now may be seen halfway.
    for (let again = readFileSync(file, 'latin1'); again !== text; again = readFileSync(file, 'latin1'))
      text = again;
    const heads = text
      .split('\n')
      .filter((line) => line.trim() !== '')
      .map((line) => headSchema.parse(JSON.parse(line)));
    return heads.sort((one, other) => other.sequence - one.sequence)[0] ?? 'unreadable';
  } catch (error) {
    return error instanceof Error && 'code' in error && error.code === 'ENOENT' ? 'missing' : 'unreadable';
  }
}

/** What the two places hold, null for an empty one; undefined for a file that has to be made anew. */
function readPlaces(file: string): readonly (Head | null)[] | undefined {
  try {
    const bytes = readFileSync(file);
    if (bytes.length !== places.length * placeBytes) return undefined;
    return places.map((place) => {
      const text = bytes.toString('latin1', place * placeBytes, (place + 1) * placeBytes).trim();
      return text === '' ? null : headSchema.parse(JSON.parse(text));
    });
  } catch {
    return undefined;
  }
}

function writePlace(file: string, place: number, head: Head): void {
  const descriptor = openSync(file, 'r+');
  try {
    writeSync(descriptor, textOf(head), place * placeBytes, 'latin1');
  } finally {
    closeSync(descriptor);
  }
}

/** A whole file at once or none; its size never changes afterwards. */
function createHeadFile(file: string, head: Head): void {
  const descriptor = openSync(`${file}.new`, 'w', 0o644);
  try {
    writeSync(descriptor, `${textOf(head)}${' '.repeat(placeBytes - 1)}\n`);
    fsyncSync(descriptor);
  } finally {
    closeSync(descriptor);
  }
  renameSync(`${file}.new`, file);
}

function textOf(head: Head): string {
  return `${canonicalJson(head).padEnd(placeBytes - 1)}\n`;
}
