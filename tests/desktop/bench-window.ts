import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { _electron, chromium, type ElectronApplication, type Page } from 'playwright-core';
import { buildOut } from '../../electron/launch/build.ts';

export const projectFolder = resolve(import.meta.dirname, '../..');
/** A station that obeys the contract and serves one static page: for tests of the window alone. */
export const standInStation = join(import.meta.dirname, 'fixtures', 'stand-in-station.ts');

export interface BenchStart {
  /** The data folder; each test has its own. */
  readonly data: string;
  /** More words for the program, such as `--kiosk`. */
  readonly args?: readonly string[];
  /** More environment, such as `BANDWRIGHT_STATION`. */
  readonly environment?: Readonly<Record<string, string>>;
}

export interface BenchWindowUnderTest {
  readonly app: ElectronApplication;
  readonly page: Page;
  close(): Promise<void>;
}

/** Starts the bench in Electron and waits until the station's page is in the window. */
export async function startBenchWindow(start: BenchStart): Promise<BenchWindowUnderTest> {
  const app = await launchBench(start);
  const page = await app.firstWindow();
  await page.waitForURL(stationAddress);
  return { app, page, close: () => app.close() };
}

/** Starts the bench in Electron without waiting for the station. */
export async function launchBench(start: BenchStart): Promise<ElectronApplication> {
  await buildFor(start);
  return _electron.launch({
    args: [projectFolder, `--data=${start.data}`, ...(start.args ?? [])],
    cwd: projectFolder,
    env: cleanEnvironment(start.environment),
    // Root cannot have Chromium's sandbox; everybody else tests with it.
    chromiumSandbox: process.getuid?.() !== 0,
  });
}

/** Makes what this start needs of `out/`; a station named from outside brings its own screens. */
async function buildFor(start: BenchStart): Promise<void> {
  const parts = start.environment?.BANDWRIGHT_STATION ? (['main'] as const) : undefined;
  await buildOut((line) => process.stderr.write(`${line}\n`), parts);
}

/** The address of a page that a station serves. */
export const stationAddress = /^http:\/\/127\.0\.0\.1:\d+\//;

const commandLine = join(projectFolder, 'electron', 'station', 'command-line.ts');
const serveWords = [commandLine, 'serve', '--json'];

/** Starts the station through `serve`, without Electron, and opens its page in Debian's Chromium. */
export async function startBrowserBench(start: BenchStart): Promise<{
  readonly page: Page;
  readonly url: string;
  /** With `--remote` among the words. */
  readonly remoteUrl: string | undefined;
  close(): Promise<void>;
}> {
  await buildFor(start);
  const entry = start.environment?.BANDWRIGHT_STATION;
  const words = [
    ...(entry === undefined ? serveWords : [entry]),
    '--data',
    start.data,
    ...(start.args ?? []),
  ];
  return openInBrowser(words, cleanEnvironment(start.environment));
}

/** Starts the desk of a site through `desk` and opens its page in Debian's Chromium. */
export async function startSiteDesk(words: readonly string[]): ReturnType<typeof startBrowserBench> {
  await buildFor({ data: '' });
  return openInBrowser([commandLine, 'desk', '--json', ...words], cleanEnvironment());
}

async function openInBrowser(
  words: readonly string[],
  env: Readonly<Record<string, string>>,
): ReturnType<typeof startBrowserBench> {
  const station = spawn(join(projectFolder, 'node_modules', '.bin', 'node'), [...words], {
    stdio: ['ignore', 'pipe', 'inherit', 'ipc'],
    env,
  });
  const ended = new Promise<void>((done) => station.once('exit', () => done()));
  const { url, remoteUrl } = await new Promise<{ url: string; remoteUrl?: string }>((ready, failed) => {
    station.once('exit', (code) =>
      failed(new Error(`the station ended with code ${code} before it was ready`)),
    );
    createInterface({ input: station.stdout as Readable }).on('line', (line) => {
      if (line.startsWith('{"ready"')) ready(JSON.parse(line));
    });
  });
  const browser = await chromium.launch({
    executablePath: '/usr/bin/chromium',
    args: [
      ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 }, locale: 'en-GB' });
  await page.goto(url);
  return {
    page,
    url,
    remoteUrl,
    async close() {
      await browser.close();
      station.kill('SIGTERM');
      await ended;
    },
  };
}

/** A new empty data folder. */
export function makeDataFolder(): string {
  return mkdtempSync(join(tmpdir(), 'bandwright-desktop-'));
}

export function removeDataFolder(folder: string): void {
  rmSync(folder, { recursive: true, force: true });
}

/** True while a process with this id runs (a zombie does not). */
export function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
}

/** The environment of an ordinary start: without what the test runner adds for itself. */
function cleanEnvironment(more: Readonly<Record<string, string>> = {}): Record<string, string> {
  const clean: Record<string, string> = {};
  for (const [name, value] of Object.entries(process.env)) {
    if (
      value === undefined ||
      /^(VITEST|VITE_|NODE_ENV$|NODE_OPTIONS$|TEST$|DEV$|PROD$|MODE$|SSR$|BASE_URL$)/.test(name)
    )
      continue;
    clean[name] = value;
  }
  return { ...clean, ...more };
}
