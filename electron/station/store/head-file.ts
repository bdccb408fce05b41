import {
  closeSync,
  fstatSync,
  fsyncSync,
  openSync,
  readFileSync,
  readSync,
  renameSync,
  statSync,
  writeSync,
} from 'node:fs';
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

/** The head file of a folder, held open between one head and the next. */
export interface HeadFile {
  /**
   * Writes the head. After the commit, so it may lag, never lead. Without waiting for the disk: a power cut leaves an
   * older head, which says nothing wrong, and the commit is on the disk without it.
   */
  write(head: Head): void;
  close(): void;
}

interface HeldFile {
  readonly descriptor: number;
  /** The file as this program left it. */
  readonly bytes: Buffer;
  /** The place that is written next. */
  place: number;
}

export function createHeadFile(folder: string): HeadFile {
  const file = join(folder, headFileName);
  let held: HeldFile | undefined;

  function close(): void {
    if (held !== undefined) closeSync(held.descriptor);
    held = undefined;
  }

  function open(): void {
    const places = readPlaces(file);
    if (places === undefined) return;
    const { bytes, heads } = places;
    const place = (heads[0]?.sequence ?? 0) <= (heads[1]?.sequence ?? 0) ? 0 : 1;
    held = { descriptor: openSync(file, 'r+'), bytes, place };
  }

  return {
    write(head) {
      if (held !== undefined && !isAsLeft(file, held)) close();
      if (held === undefined) open();
      if (held === undefined) return writeNewFile(file, head);
      const { descriptor, bytes, place } = held;
      writeSync(descriptor, textOf(head), place * placeBytes, 'latin1');
      bytes.write(textOf(head), place * placeBytes, 'latin1');
      held.place = 1 - place;
    },
    close,
  };
}

/** Nobody took the file away, put another in its place or wrote into it. */
function isAsLeft(file: string, { descriptor, bytes }: HeldFile): boolean {
  if (statSync(file, { throwIfNoEntry: false })?.ino !== fstatSync(descriptor).ino) return false;
  const now = Buffer.alloc(bytes.length);
  return readSync(descriptor, now, 0, now.length, 0) === now.length && now.equals(bytes);
}

/** Writes one head. */
export function writeHead(folder: string, head: Head): void {
  const file = createHeadFile(folder);
  try {
    file.write(head);
  } finally {
    file.close();
  }
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

/** The file with the heads in its two places, null for an empty one; undefined for a file that has to be made anew. */
function readPlaces(
  file: string,
): { readonly bytes: Buffer; readonly heads: readonly (Head | null)[] } | undefined {
  try {
    const bytes = readFileSync(file);
    if (bytes.length !== places.length * placeBytes) return undefined;
    const heads = places.map((place) => {
      const text = bytes.toString('latin1', place * placeBytes, (place + 1) * placeBytes).trim();
      return text === '' ? null : headSchema.parse(JSON.parse(text));
    });
    return { bytes, heads };
  } catch {
    return undefined;
  }
}

/** A whole file at once or none; its size never changes afterwards. */
function writeNewFile(file: string, head: Head): void {
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
