import { spawn } from 'node:child_process';
import { join, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { launchOptionWords, readLaunchOptions, siteWords, writeLaunchOptions } from '../launch-options.ts';
import { whenLauncherGone } from '../station/launcher-watch.ts';
import { buildOut } from './build.ts';
import { canInstallPackages, electronPackages, ensurePackages } from './debian-packages.ts';
import { hasDisplay, systemSwitches } from './display.ts';
import { type ElectronBuild, findElectron, sayElectron } from './find-electron.ts';
import { serveBench } from './serve-bench.ts';
import { missingLibraries } from './shared-libraries.ts';

const help = `Usage: npm start -- [--data DIR [--demo]] [--first-run] [--kiosk] [--full-screen]
       npm start -- --site URL --password-file FILE [--authority FILE]

Opens the bench in a window; with no display, serves the same screen on this machine and prints the address.
Without words: the workshop that was set up on this computer, else the demo on simulated instruments.

  --data DIR      data folder (database, keys, log, window); an empty one asks what it shall become
  --demo          an empty data folder becomes the demo without asking
  --first-run     ask also without --data, where nothing was set up yet
  --kiosk         the window fills the screen and cannot be left by accident
  --full-screen   start in full screen
  --site URL      the auditor's desk of a site instead of a bench, read-only (docs/site.md)
  --password-file FILE, --authority FILE   as the commands have them`;

const projectFolder = resolve(import.meta.dirname, '../..');
const quickFailureMilliseconds = 10_000;

async function start(words: readonly string[]): Promise<number> {
  try {
    const options = { ...launchOptionWords, help: { type: 'boolean' } } as const;
    if (parseArgs({ args: [...words], options }).values.help === true) {
      process.stdout.write(`${help}\n`);
      return 0;
    }
  } catch (error) {
    say(
      `start: ${error instanceof Error ? error.message.split('\n')[0] : String(error)} (see npm start -- --help)`,
    );
    return 2;
  }
  const isFolderNamed = readLaunchOptions(words).dataFolder !== undefined;
  const options = readLaunchOptions(words, isFolderNamed);
  const ending = new AbortController();
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => ending.abort());
  whenLauncherGone(() => ending.abort());

  const serve = async () => {
    const entry = process.env.BANDWRIGHT_STATION || join(projectFolder, 'out', 'station.mjs');
    const { dataFolder, emptyFolder } = options;
    const station = { node: process.execPath, entry, dataFolder, emptyFolder };
    await serveBench({ ...station, siteWords: siteWords(options.site) }, ending.signal, say);
    return 0;
  };

  try {
    // A station named from outside brings its own screens.
    await buildOut(say, process.env.BANDWRIGHT_STATION ? ['main'] : undefined);
  } catch (error) {
    say(`The bench could not be built in out/: ${error instanceof Error ? error.message : error}`);
    return 1;
  }
  if (!hasDisplay(process.platform, process.env)) {
    say('There is no display (neither DISPLAY nor WAYLAND_DISPLAY is set), so no window is opened.');
    return serve();
  }
  const electron = await findElectron({ environment: process.env, projectFolder, say });
  if (!electron.ok) {
    say(`No window is opened: ${electron.error.message}.`);
    return serve();
  }
  say(sayElectron(electron.value));
  if (!(await hasLibraries(electron.value))) return serve();
  if (ending.signal.aborted) return 0;
  const startedAt = performance.now();
  const code = await runElectron(electron.value, writeLaunchOptions(options), ending.signal);
  const failedAtOnce = code !== 0 && performance.now() - startedAt < quickFailureMilliseconds;
  if (!failedAtOnce || ending.signal.aborted) return code;
  say(`Electron ended with code ${code} before it could show a window (is the display there?).`);
  return serve();
}

async function hasLibraries(electron: ElectronBuild): Promise<boolean> {
  if ((await missingLibraries(electron.executable)).length === 0) return true;
  const installed = await ensurePackages(electronPackages, await canInstallPackages(), say);
  const missing = await missingLibraries(electron.executable);
  if (missing.length === 0) return true;
  const reason = installed.ok
    ? 'they are in none of the packages that Electron needs'
    : installed.error.message;
  say(`No window is opened: Electron lacks the shared libraries ${missing.join(', ')}: ${reason}.`);
  return false;
}

/** Runs Electron to its end; asks it to quit when the signal fires. Resolves with its exit code. */
function runElectron(
  electron: ElectronBuild,
  words: readonly string[],
  signal: AbortSignal,
): Promise<number> {
  const switches = systemSwitches(process.platform, process.env, process.getuid?.() === 0);
  for (const { word, reason } of switches) say(`Electron gets ${word} (${reason}).`);
  return new Promise((done) => {
    const child = spawn(electron.executable, [...switches.map(({ word }) => word), projectFolder, ...words], {
      stdio: 'inherit',
      env: { ...process.env, BANDWRIGHT_NODE: process.env.BANDWRIGHT_NODE ?? process.execPath },
    });
    const quit = () => child.kill('SIGTERM');
    signal.addEventListener('abort', quit, { once: true });
    child.on('error', (error) => {
      say(`Electron could not be started: ${error.message}`);
      done(1);
    });
    child.on('close', (code, signalName) => {
      signal.removeEventListener('abort', quit);
      done(code ?? (signal.aborted && signalName === 'SIGTERM' ? 0 : 1));
    });
  });
}

function say(line: string): void {
  process.stderr.write(`${line}\n`);
}

process.exitCode = await start(process.argv.slice(2));
