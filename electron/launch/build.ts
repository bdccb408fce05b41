import { existsSync, utimesSync, writeFileSync } from 'node:fs';
import { mkdir, readdir, rm, stat } from 'node:fs/promises';
import { join, resolve, sep } from 'node:path';
import type { InlineConfig } from 'vite';
import { withLock } from './lock.ts';

interface Part {
  readonly name: 'main' | 'station' | 'renderer';
  /** Files and folders that the part is made from. */
  readonly sources: readonly string[];
  /** Folders below them that it is not made from. */
  readonly besides?: readonly string[];
  /** The file that must be there afterwards. */
  readonly result: string;
  config(): Promise<InlineConfig>;
}

const projectFolder = resolve(import.meta.dirname, '../..');
const outFolder = join(projectFolder, 'out');
const common = ['package-lock.json', 'vite.config.ts', 'shared'];
const parts: readonly Part[] = [
  {
    name: 'main',
    sources: [...common, 'electron'],
    besides: ['electron/station', 'electron/launch'],
    result: 'main.mjs',
    config: async () => (await import('../../vite.config.ts')).mainConfig,
  },
  {
    name: 'station',
    sources: [...common, 'electron/station', 'drivers', 'seeds'],
    result: 'station.mjs',
    config: async () => (await import('../../vite.config.ts')).stationConfig,
  },
  {
    name: 'renderer',
    sources: [...common, 'renderer'],
    result: 'renderer/index.html',
    config: async () => (await import('../../vite.config.ts')).rendererConfig,
  },
];

/** The parts that `out/` is made of. */
export type BuiltPart = Part['name'];

/**
 * Makes `out/` from the sources, leaving alone what is newer than all of its sources (then it takes milliseconds).
 *
 * @param wanted the parts to look after, all of them by default.
 * @returns the parts that were made anew.
 */
export async function buildOut(
  say: (line: string) => void,
  wanted: readonly BuiltPart[] = parts.map((part) => part.name),
): Promise<BuiltPart[]> {
  const chosen = parts.filter((part) => wanted.includes(part.name));
  if ((await oldParts(chosen)).length === 0) return [];
  await mkdir(outFolder, { recursive: true });
  const onWait = () => say('Another start is building; waiting for it.');
  return withLock(join(outFolder, '.lock'), onWait, async () => {
    const old = await oldParts(chosen);
    if (old.length === 0) return [];
    say(`Building ${old.map((part) => part.name).join(', ')} …`);
    const { build } = await import('vite');
    for (const part of old) {
      const startedAt = new Date();
      await build({ ...(await part.config()), logLevel: 'warn' });
      await removeOldChunks(part.name);
      // Dated at the beginning: a source that changed meanwhile makes it old again.
      writeFileSync(stamp(part), '');
      utimesSync(stamp(part), startedAt, startedAt);
    }
    return old.map((part) => part.name);
  });
}

/** Modules of earlier builds go after a day: until then a program that still runs may ask for one. */
async function removeOldChunks(name: string): Promise<void> {
  for (const file of await readdir(outFolder)) {
    const path = join(outFolder, file);
    const isOld = Date.now() - (await timeOf(path)) > 24 * 60 * 60 * 1000;
    if (file.startsWith(`${name}-`) && isOld) await rm(path);
  }
}

async function oldParts(chosen: readonly Part[]): Promise<Part[]> {
  const old: Part[] = [];
  for (const part of chosen) {
    const made = await timeOf(stamp(part));
    const isThere = existsSync(join(outFolder, part.result));
    if (!isThere || made <= (await newestTime(part))) old.push(part);
  }
  return old;
}

function stamp(part: Part): string {
  return join(outFolder, `.${part.name}-built`);
}

/** Folders count too: their time changes when a file is taken away. */
async function newestTime(part: Part): Promise<number> {
  const besides = (part.besides ?? []).map((folder) => join(projectFolder, folder));
  let newest = 0;
  for (const source of part.sources) {
    const path = join(projectFolder, source);
    const below = (await isFolder(path)) ? await readdir(path, { recursive: true }) : [];
    for (const file of [path, ...below.map((name) => join(path, name))]) {
      const isBesides = besides.some((folder) => file === folder || file.startsWith(folder + sep));
      if (!isBesides) newest = Math.max(newest, await timeOf(file));
    }
  }
  return newest;
}

async function timeOf(path: string): Promise<number> {
  return stat(path).then(
    (found) => found.mtimeMs,
    () => 0,
  );
}

async function isFolder(path: string): Promise<boolean> {
  return stat(path).then(
    (found) => found.isDirectory(),
    () => false,
  );
}

if (import.meta.main) {
  const named = parts.map((part) => part.name).filter((name) => process.argv.includes(name));
  const say = (line: string) => process.stderr.write(`${line}\n`);
  const built = await buildOut(say, named.length === 0 ? undefined : named);
  process.stderr.write(built.length === 0 ? 'out/ is up to date.\n' : `Built ${built.join(', ')}.\n`);
}
