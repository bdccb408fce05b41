import {
  existsSync,
  lstatSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { z } from 'zod';

const prefix = 'bandwright-simulated-';
const ownerName = 'owner.json';
const dayMilliseconds = 86_400_000;

const ownerSchema = z.strictObject({
  processId: z.int().positive(),
  /** Clock ticks between the start of the system and of the process: ids are given again, this pair is not. */
  startedAfterTicks: z.string(),
  /** Of the start of the system. */
  bootId: z.string(),
  /** Process ids mean nothing in another namespace. */
  namespace: z.string(),
});
type Owner = z.infer<typeof ownerSchema>;

let isCleared = false;

/**
 * Makes a private folder (mode 0700) for the links of simulated instruments, which says whose it is. Before the first
 * one of a process, those of processes that ended without removing theirs are removed. Linux, by proc(5).
 */
export function createOwnedFolder(): string {
  if (!isCleared) removeAbandonedFolders();
  isCleared = true;
  const folder = mkdtempSync(join(tmpdir(), prefix));
  const owner: Owner = { ...here(), processId: process.pid, startedAfterTicks: ticksOf('self') ?? '' };
  writeFileSync(join(folder, ownerName), JSON.stringify(owner));
  return folder;
}

/** Removes such folders whose owner surely ended. Those of others are left alone. */
function removeAbandonedFolders(): void {
  for (const name of readdirSync(tmpdir())) {
    if (!name.startsWith(prefix)) continue;
    const folder = join(tmpdir(), name);
    try {
      const isAbandoned = existsSync(join(folder, ownerName))
        ? hasEnded(ownerSchema.parse(JSON.parse(readFileSync(join(folder, ownerName), 'utf8'))))
        : isLeftBehind(folder);
      if (isAbandoned) rmSync(folder, { recursive: true, force: true });
    } catch {
      // Not ours to read, or just being made or removed.
    }
  }
}

/**
 * A folder from before folders said whose they are: of this user, untouched for a day, with links to terminals that
 * are gone. Whatever else is without an owner is left alone: it may be just being made.
 */
function isLeftBehind(folder: string): boolean {
  const { uid, mtimeMs } = lstatSync(folder);
  const links = readdirSync(folder, { withFileTypes: true });
  return (
    uid === process.getuid?.() &&
    Date.now() - mtimeMs > dayMilliseconds &&
    links.length > 0 &&
    links.every((link) => link.isSymbolicLink() && !existsSync(join(folder, link.name)))
  );
}

function hasEnded({ processId, startedAfterTicks, bootId, namespace }: Owner): boolean {
  const now = here();
  if (now.namespace !== namespace) return false;
  return now.bootId !== bootId || ticksOf(String(processId)) !== startedAfterTicks;
}

function here(): Pick<Owner, 'bootId' | 'namespace'> {
  return {
    bootId: readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim(),
    namespace: readlinkSync('/proc/self/ns/pid'),
  };
}

/** Field 22 of proc_pid_stat(5), counted behind the name, which may hold anything; undefined without that process. */
function ticksOf(processId: string): string | undefined {
  try {
    const text = readFileSync(`/proc/${processId}/stat`, 'utf8');
    return text.slice(text.lastIndexOf(')') + 2).split(' ')[22 - 3];
  } catch {
    return undefined;
  }
}
