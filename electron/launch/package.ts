import { readFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { ok, type Result } from '../../shared/result.ts';
import { buildOut } from './build.ts';
import { type ElectronBuild, findElectron, sayElectron } from './find-electron.ts';
import { packageConfiguration } from './package-configuration.ts';
import { makeDebianPackage } from './package-debian.ts';
import { runProgram } from './run-program.ts';

const help = `Usage: npm run package -- [TARGET]… [--out DIR]

Makes packages of the bench for this system in dist/ (or DIR).

  dir        the program in a folder of its own (always; works offline)
  deb        a Debian package with dpkg-deb (Linux; works offline)
  AppImage, nsis, dmg …   whatever else electron-builder knows; it fetches tools for them`;

const projectFolder = resolve(import.meta.dirname, '../..');
/** The first Node-API that better-sqlite3 needs. */
const neededNodeApi = 10;

/** What `packageBench` made. */
export interface PackagedBench {
  /** Folder of the unpacked program. */
  readonly folder: string;
  readonly executable: string;
  /** Files such as the Debian package. */
  readonly files: readonly string[];
}

/**
 * Builds the bench and packages it for this system.
 *
 * @param targets `dir`, `deb` (ours) or any other target of electron-builder.
 * @param output folder for the result.
 * @returns a refusal when there is no Electron to package.
 */
export async function packageBench(
  targets: readonly string[],
  output: string,
  say: (line: string) => void,
): Promise<Result<PackagedBench>> {
  await buildOut(say);
  const electron = await findElectron({ environment: process.env, projectFolder, say });
  if (!electron.ok) return electron;
  say(`Packaging ${sayElectron(electron.value)}`);
  const node = (await canHostStation(electron.value)) ? undefined : process.execPath;
  if (node !== undefined) say(`Its Node is too old for the station: ${node} goes along.`);
  const { Arch, build, Platform } = await import('electron-builder');
  const config = packageConfiguration({
    electron: electron.value,
    node,
    modules: await modulesOf(join(projectFolder, 'out'), ['main.mjs', 'station.mjs']),
    output,
  });
  const others = targets.filter((target) => target !== 'deb' && target !== 'dir');
  const written = await build({
    projectDir: projectFolder,
    targets: Platform.current().createTarget(['dir', ...others], Arch[process.arch as 'x64' | 'arm64']),
    config,
    publish: 'never',
  });
  const folder = join(output, unpackedFolder());
  const executable = join(folder, executableName());
  const debian = targets.includes('deb') ? [await makeDebianPackage(folder, output, projectFolder)] : [];
  return ok({ folder, executable, files: [...written, ...debian] });
}

/** Asks Electron's own Node, before the fuses take its tongue. */
async function canHostStation({ executable }: ElectronBuild): Promise<boolean> {
  const env = { ...process.env, ELECTRON_RUN_AS_NODE: '1' };
  const answer = await runProgram(executable, ['-p', 'process.versions.napi'], { env });
  return Number(answer.output) >= neededNodeApi;
}

/** The modules and their neighbours that the entries reach; `out/` also holds those of earlier builds. */
async function modulesOf(out: string, entries: readonly string[]): Promise<string[]> {
  const reached = new Set(entries);
  for (const name of reached) {
    const text = await readFile(join(out, name), 'utf8');
    for (const [, neighbour = ''] of text.matchAll(/["']\.\/((?:main|station)-[\w.-]+)["']/g)) {
      reached.add(neighbour);
    }
  }
  return [...reached];
}

function unpackedFolder(): string {
  if (process.platform === 'darwin') return process.arch === 'arm64' ? 'mac-arm64' : 'mac';
  const system = process.platform === 'win32' ? 'win' : 'linux';
  return process.arch === 'x64' ? `${system}-unpacked` : `${system}-${process.arch}-unpacked`;
}

function executableName(): string {
  if (process.platform === 'darwin') return 'Bandwright.app/Contents/MacOS/Bandwright';
  return process.platform === 'win32' ? 'Bandwright.exe' : 'bandwright';
}

async function main(words: readonly string[]): Promise<number> {
  const options = { out: { type: 'string' }, help: { type: 'boolean' } } as const;
  const { values, positionals } = parseArgs({ args: [...words], options, allowPositionals: true });
  if (values.help === true) {
    process.stdout.write(`${help}\n`);
    return 0;
  }
  const say = (line: string) => process.stderr.write(`${line}\n`);
  const packaged = await packageBench(positionals, resolve(values.out ?? join(projectFolder, 'dist')), say);
  if (!packaged.ok) {
    say(packaged.error.message);
    return 1;
  }
  process.stdout.write(`${[packaged.value.executable, ...packaged.value.files].join('\n')}\n`);
  return 0;
}

if (import.meta.main) process.exitCode = await main(process.argv.slice(2));
