import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { ElectronApplication, Page } from 'playwright-core';
import { transformWithOxc } from 'vite';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import {
  isRunning,
  launchBench,
  makeDataFolder,
  projectFolder,
  removeDataFolder,
  standInStation,
  startBenchWindow,
  stationAddress,
} from './bench-window.ts';

const artifacts = `${projectFolder}/tests/.artifacts`;
let data: string;
let app: ElectronApplication | undefined;

beforeEach(() => {
  data = makeDataFolder();
  mkdirSync(artifacts, { recursive: true });
});

afterEach(async () => {
  await app?.close().catch(() => undefined);
  app = undefined;
  removeDataFolder(data);
});

async function stationProcess(page: Page): Promise<number> {
  return Number(await page.locator('#station-process').textContent());
}

async function until(condition: () => boolean | Promise<boolean>): Promise<void> {
  await expect.poll(condition, { timeout: 20_000 }).toBe(true);
}

const standIn = { BANDWRIGHT_STATION: standInStation };

describe('station process under the window', () => {
  test('the window hands the data folder to the station', async () => {
    const bench = await startBenchWindow({ data, environment: standIn });
    app = bench.app;
    expect(await bench.page.locator('#data-folder').textContent()).toBe(data);
  });

  test.each(['node', 'electron'])(
    'killed while hosted by %s: the window says so, a new station starts on the same port and its page is shown',
    async (host) => {
      // Electron's own Node runs no TypeScript.
      const { code } = await transformWithOxc(readFileSync(standInStation, 'utf8'), standInStation);
      const station = join(data, 'stand-in-station.mjs');
      writeFileSync(station, code);
      const bench = await startBenchWindow({
        data,
        environment: { BANDWRIGHT_STATION: station, BANDWRIGHT_STATION_HOST: host },
      });
      app = bench.app;
      const { page } = bench;
      const first = await stationProcess(page);
      const firstAddress = new URL(page.url());

      process.kill(first, 'SIGKILL');
      const notice = page.getByRole('alert');
      await notice.waitFor();
      expect(await notice.textContent()).toContain('The station stopped and is restarting');
      await page.screenshot({ path: `${artifacts}/station-restarting.png` });

      await page.waitForURL(stationAddress);
      expect(new URL(page.url()).origin).toBe(firstAddress.origin);
      expect(new URL(page.url()).search).not.toBe(firstAddress.search);
      const second = await stationProcess(page);
      expect(second).not.toBe(first);
      expect(isRunning(second)).toBe(true);

      await app.close();
      app = undefined;
      await until(() => !isRunning(second));
    },
  );

  test('a station that cannot start is tried less and less often, and the window says why', async () => {
    app = await launchBench({ data, environment: { ...standIn, STAND_IN_FAILS: 'yes' } });
    const page = await app.firstWindow();
    const notice = page.getByRole('alert');
    await until(
      async () => (await notice.textContent().catch(() => ''))?.includes('does not start') ?? false,
    );
    // Markup in the reason stays text.
    expect(await notice.textContent()).toContain('exit code 1: the data folder <b>cannot</b> be opened');
    await page.screenshot({ path: `${artifacts}/station-failing.png` });
    // What it says by a code is said in the language of the window.
    await until(
      async () =>
        (await notice.textContent().catch(() => ''))?.includes('key store of this account') ?? false,
    );
    expect(await notice.textContent()).toContain('(Stand-in store), which does not open.');
    await page.screenshot({ path: `${artifacts}/station-locked-out.png` });
  });

  test('a page that crashes comes back', async () => {
    const bench = await startBenchWindow({ data, environment: standIn });
    app = bench.app;
    const origin = new URL(bench.page.url()).origin;
    await app.evaluate(({ BrowserWindow }) => {
      BrowserWindow.getAllWindows()[0]?.webContents.forcefullyCrashRenderer();
    });
    await until(() =>
      bench.app.evaluate(({ BrowserWindow }, url) => {
        const contents = BrowserWindow.getAllWindows()[0]?.webContents;
        return (
          contents !== undefined &&
          !contents.isCrashed() &&
          contents.getURL() === url &&
          !contents.isLoading()
        );
      }, `${origin}/`),
    );
  });

  test('a window that is killed leaves no station behind', async () => {
    const bench = await startBenchWindow({ data, environment: standIn });
    const station = await stationProcess(bench.page);
    const main = bench.app.process();
    main.kill('SIGKILL');
    await until(() => !isRunning(station));
  });

  test('SIGTERM ends window and station in order', async () => {
    const bench = await startBenchWindow({ data, environment: standIn });
    const station = await stationProcess(bench.page);
    const main = bench.app.process();
    const ended = once(main, 'exit');
    main.kill('SIGTERM');
    await ended;
    await until(() => !isRunning(station));
  });
});

describe('single instance', () => {
  test('a second start on the same data folder brings the first window forward and ends', async () => {
    const bench = await startBenchWindow({ data, environment: standIn });
    app = bench.app;
    await app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]?.hide());
    const executable = await app.evaluate(() => process.execPath);
    const rootWords = process.getuid?.() === 0 ? ['--no-sandbox'] : [];
    const second = spawn(executable, [...rootWords, projectFolder, `--data=${data}`], {
      env: { ...process.env, ...standIn },
      stdio: 'ignore',
    });
    const [code] = await once(second, 'exit');
    expect(code).toBe(0);
    await until(() =>
      bench.app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]?.isVisible() === true),
    );
    expect(await app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows().length)).toBe(1);
  });

  test('another data folder gets a window of its own', async () => {
    const bench = await startBenchWindow({ data, environment: standIn });
    app = bench.app;
    const otherData = makeDataFolder();
    const other = await startBenchWindow({ data: otherData, environment: standIn });
    expect(await other.page.locator('#data-folder').textContent()).toBe(otherData);
    await other.close();
    removeDataFolder(otherData);
  });
});
