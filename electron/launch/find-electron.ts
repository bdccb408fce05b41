import { existsSync } from 'node:fs';
import { mkdir, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { ok, type Result, refuse } from '../../shared/result.ts';
import { cacheFolder } from './cache-folder.ts';
import { prepareElectron } from './prepared-build.ts';
import { runProgram } from './run-program.ts';

/** An Electron build that can be started. */
export interface ElectronBuild {
  readonly folder: string;
  readonly executable: string;
  readonly version: string;
  /** `given` by ELECTRON_OVERRIDE_DIST_PATH, Electron's `own` for the version in package.json, or `prepared`. */
  readonly origin: 'given' | 'own' | 'prepared';
}

/** What the search may touch. */
export interface ElectronSearch {
  readonly environment: NodeJS.ProcessEnv;
  /** The folder that holds package.json and node_modules. */
  readonly projectFolder: string;
  say(line: string): void;
}

const probeMilliseconds = 8_000;
const rememberFailureMilliseconds = 24 * 60 * 60 * 1000;

/** Finds or prepares Electron: the user's, then Electron's own, then the one that the npm registry can give. */
export async function findElectron(search: ElectronSearch): Promise<Result<ElectronBuild>> {
  const given = search.environment.ELECTRON_OVERRIDE_DIST_PATH;
  if (given) return describeGiven(given);
  const own = await findOwn(search);
  if (own !== undefined) return ok(await describe(own, 'own'));
  const prepared = await prepareElectron(cacheFolder(search.environment), search.say);
  return prepared.ok ? ok(await describe(prepared.value, 'prepared')) : prepared;
}

/** One line for people: which build runs, and whether it is the supported one. */
export function sayElectron(build: ElectronBuild): string {
  const origins = {
    given: 'the build named by ELECTRON_OVERRIDE_DIST_PATH',
    own: 'its own build',
    prepared: 'the build prepared from the npm registry, because its own could not be downloaded',
  } as const;
  return `Electron ${build.version}: ${origins[build.origin]}, in ${build.folder}`;
}

async function describeGiven(folder: string): Promise<Result<ElectronBuild>> {
  const build = await describe(folder, 'given');
  if (existsSync(build.executable)) return ok(build);
  return refuse(
    'electron_missing',
    'ELECTRON_OVERRIDE_DIST_PATH',
    `there is no Electron at ${build.executable}; name the folder that holds it, or unset the variable`,
  );
}

async function describe(folder: string, origin: ElectronBuild['origin']): Promise<ElectronBuild> {
  const version = await readFile(join(folder, 'version'), 'utf8').catch(() => 'of unknown version');
  return {
    folder,
    executable: join(folder, executableName()),
    version: version.trim().replace(/^v/, ''),
    origin,
  };
}

function executableName(): string {
  if (process.platform === 'darwin') return 'Electron.app/Contents/MacOS/Electron';
  return process.platform === 'win32' ? 'electron.exe' : 'electron';
}

/** Electron's own build in node_modules, downloaded at the first start when that can be done. */
async function findOwn(search: ElectronSearch): Promise<string | undefined> {
  const packageFolder = join(search.projectFolder, 'node_modules', 'electron');
  const folder = join(packageFolder, 'dist');
  const { version } = JSON.parse(await readFile(join(packageFolder, 'package.json'), 'utf8')) as {
    version: string;
  };
  const isThere = async () =>
    (await readFile(join(folder, 'version'), 'utf8').catch(() => '')).trim().replace(/^v/, '') === version &&
    existsSync(join(folder, executableName()));
  if (await isThere()) return folder;

  const failure = join(cacheFolder(search.environment), `electron-${version}-not-reachable`);
  const failedAt = await stat(failure).then(
    (found) => found.mtimeMs,
    () => 0,
  );
  if (Date.now() - failedAt < rememberFailureMilliseconds) return undefined;
  search.say(`Electron ${version} is not there yet; trying to download it, once …`);
  let reason = 'the download server cannot be reached';
  if (
    (await isInElectronCache(version, search.environment)) ||
    (await isReachable(version, search.environment))
  ) {
    const installed = await runProgram(process.execPath, [join(packageFolder, 'install.js')], {
      env: search.environment,
    });
    if (await isThere()) {
      await rm(failure, { force: true });
      return folder;
    }
    reason = installed.errors.trim().split('\n')[0] ?? reason;
  }
  await mkdir(cacheFolder(search.environment), { recursive: true });
  await writeFile(failure, `${reason}\n`);
  search.say(
    `Electron ${version} could not be downloaded: ${reason}. Not tried again for a day (delete ${failure} to try at once).`,
  );
  return undefined;
}

/** Where Electron's installer keeps what it downloaded, by the conventions of the three systems. */
async function isInElectronCache(version: string, environment: NodeJS.ProcessEnv): Promise<boolean> {
  const folders = [
    environment.electron_config_cache,
    join(environment.XDG_CACHE_HOME ?? join(homedir(), '.cache'), 'electron'),
    join(homedir(), 'Library', 'Caches', 'electron'),
    join(environment.LOCALAPPDATA ?? homedir(), 'electron', 'Cache'),
  ];
  const file = archiveName(version);
  for (const folder of folders) {
    if (folder === undefined || !existsSync(folder)) continue;
    if ((await readdir(folder, { recursive: true })).some((name) => name.endsWith(file))) return true;
  }
  return false;
}

/** Asks for the archive's head, so that a machine without a way out learns it in seconds and not in minutes. */
async function isReachable(version: string, environment: NodeJS.ProcessEnv): Promise<boolean> {
  const mirror =
    environment.npm_config_electron_mirror ||
    environment.ELECTRON_MIRROR ||
    'https://github.com/electron/electron/releases/download/';
  const folder =
    environment.npm_config_electron_custom_dir || environment.ELECTRON_CUSTOM_DIR || `v${version}`;
  const address = `${mirror}${folder.replace('{{ version }}', version)}/${archiveName(version)}`;
  try {
    const answer = await fetch(address, { method: 'HEAD', signal: AbortSignal.timeout(probeMilliseconds) });
    return answer.ok;
  } catch {
    return false;
  }
}

function archiveName(version: string): string {
  return `electron-v${version}-${process.platform}-${process.arch}.zip`;
}
