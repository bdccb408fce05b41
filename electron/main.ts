import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { app, utilityProcess } from 'electron';
import { documentWindow } from './document-window.ts';
import { hasGraphicsDevice } from './graphics-device.ts';
import { type LaunchOptions, readLaunchOptions, siteWords } from './launch-options.ts';
import { noticeOfLoss, reasonOf } from './notice.ts';
import { findStationNode } from './station-node.ts';
import { keepStationRunning, type StationKeeper, type StationRun } from './station-process.ts';
import { startStationInElectron, startStationInNode } from './station-start.ts';
import { formerStationPort, openBenchWindow } from './window.ts';
import { secureApplication } from './window-security.ts';

const development = !app.isPackaged;
const options = readLaunchOptions(process.argv.slice(1), app.isPackaged);
// What the fuses refuse to a packaged Electron, the Node of its station must not obey either.
if (!development) {
  for (const name of Object.keys(process.env)) if (name.startsWith('NODE_')) delete process.env[name];
}
const windowFolder = windowFolderOf(options);
if (windowFolder !== undefined) {
  mkdirSync(windowFolder, { recursive: true, mode: 0o700 });
  app.setPath('userData', windowFolder);
}
if (!hasGraphicsDevice()) app.disableHardwareAcceleration();
// For every page, come what may. (With --no-sandbox, which root needs, this call breaks Electron's own services.)
if (!app.commandLine.hasSwitch('no-sandbox')) app.enableSandbox();

// The lock belongs to the folder above: one window for each data folder. Without it, the first is brought forward.
if (app.requestSingleInstanceLock()) run(options);
else app.exit(0);

function run(launch: LaunchOptions): void {
  let origin: string | undefined;
  let station: StationKeeper | undefined;
  let isStopped = false;
  secureApplication(() => origin, documentWindow(development));
  // Not `await` at the top of this module: Electron would wait for the module and the module for Electron.
  const isReady = app.whenReady();
  // A Node of its own starts while Electron does; a process of Electron's must wait until that is ready.
  const mayStart = stationHost() === 'node' ? Promise.resolve() : isReady;
  let hasAnswered = false;
  const opened = isReady.then(() => openBenchWindow(launch, development));
  app.on('second-instance', () => void opened.then((bench) => bench.focus()));
  void mayStart.then(() => {
    station = keepStationRunning({
      start: startStation,
      dataFolder: launch.dataFolder,
      emptyFolder: launch.emptyFolder,
      siteWords: siteWords(launch.site),
      port: formerStationPort(),
      now: () => performance.now(),
      wait: (milliseconds, signal) => wait(milliseconds, undefined, { signal }).catch(() => undefined),
      watcher: {
        onReady(url) {
          origin = new URL(url).origin;
          hasAnswered = true;
          void opened.then((bench) => bench.showStation(url));
        },
        onKeyStore(name) {
          void opened.then((bench) => bench.tell({ kind: 'key store', name }));
        },
        onLost(end, failures, nextTryMilliseconds) {
          origin = undefined;
          process.stderr.write(
            `The station ended (${reasonOf(end)}); next start in ${nextTryMilliseconds} ms.\n`,
          );
          const upMilliseconds = performance.now();
          const notice = noticeOfLoss({ end, failures, nextTryMilliseconds, hasAnswered, upMilliseconds });
          void opened.then((bench) => bench.tell(notice));
        },
      },
    });
  });
  app.on('window-all-closed', () => app.quit());
  app.on('before-quit', (event) => {
    if (isStopped || station === undefined) return;
    event.preventDefault();
    void station.stop().then(() => {
      isStopped = true;
      app.quit();
    });
  });
}

/** Where the window keeps what is its own; the desk of a site must not be taken for the bench of this computer. */
function windowFolderOf({ dataFolder, site }: LaunchOptions): string | undefined {
  if (dataFolder !== undefined) return join(dataFolder, 'window');
  return site === undefined ? undefined : join(app.getPath('userData'), 'site-desk');
}

/** better-sqlite3 needs Node-API 10; an older Electron crashes in it, so that one uses a Node of its own. */
function stationHost(): string {
  const canHost = Number(process.versions.napi) >= 10;
  return (development && process.env.BANDWRIGHT_STATION_HOST) || (canHost ? 'electron' : 'node');
}

function startStation(args: readonly string[]): StationRun {
  // Outside the archive of a packaged program: a Node beside Electron reads no archive.
  const modules = import.meta.dirname.replace(/app\.asar(?=[\\/])/, 'app.asar.unpacked');
  const entry = (development && process.env.BANDWRIGHT_STATION) || join(modules, 'station.mjs');
  if (stationHost() === 'electron') {
    return startStationInElectron(
      utilityProcess.fork(entry, [...args], { stdio: 'pipe', serviceName: 'bandwright-station' }),
    );
  }
  const node = findStationNode({
    environment: process.env,
    applicationFolder: app.getAppPath(),
    resourcesFolder: app.isPackaged ? process.resourcesPath : undefined,
  });
  return startStationInNode(node, entry, args, join(app.getPath('userData'), 'compiled-station'));
}
