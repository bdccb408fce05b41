import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import {
  type BenchWindowUnderTest,
  makeDataFolder,
  removeDataFolder,
  standInStation,
  startBenchWindow,
} from './bench-window.ts';

let data: string;
let bench: BenchWindowUnderTest | undefined;

beforeEach(() => {
  data = makeDataFolder();
});

afterEach(async () => {
  await bench?.close();
  bench = undefined;
  removeDataFolder(data);
});

async function start(...args: string[]): Promise<BenchWindowUnderTest> {
  bench = await startBenchWindow({ data, args, environment: { BANDWRIGHT_STATION: standInStation } });
  return bench;
}

/** Chooses an entry of the application menu, as its key does. */
function choose(under: BenchWindowUnderTest, label: string): Promise<void> {
  return under.app.evaluate(({ Menu }, wanted) => {
    const item = Menu.getApplicationMenu()?.items[0]?.submenu?.items.find((each) => each.label === wanted);
    item?.click();
  }, label);
}

function windowNow(under: BenchWindowUnderTest) {
  return under.app.evaluate(({ BrowserWindow }) => {
    const window = BrowserWindow.getAllWindows()[0];
    return {
      bounds: window?.getBounds(),
      zoom: window?.webContents.getZoomFactor(),
      fullScreen: window?.isFullScreen(),
      kiosk: window?.isKiosk(),
    };
  });
}

test('place, size and zoom of the window are kept for the next start', async () => {
  const first = await start();
  await first.app.evaluate(({ BrowserWindow }) =>
    BrowserWindow.getAllWindows()[0]?.setBounds({ x: 60, y: 40, width: 1000, height: 700 }),
  );
  await choose(first, 'Larger');
  await choose(first, 'Larger');
  await expect.poll(async () => (await windowNow(first)).zoom).toBeCloseTo(1.25);
  const address = new URL(first.page.url()).origin;
  await first.close();

  const second = await start();
  const now = await windowNow(second);
  expect(now.bounds).toEqual({ x: 60, y: 40, width: 1000, height: 700 });
  expect(now.zoom).toBeCloseTo(1.25);
  // The same address: what the page keeps for this screen is found again.
  expect(new URL(second.page.url()).origin).toBe(address);
  await choose(second, 'Actual size');
  await expect.poll(async () => (await windowNow(second)).zoom).toBe(1);
});

test('a damaged memory of the window is put aside', async () => {
  const first = await start();
  await first.close();
  const file = join(data, 'window', 'window.json');
  expect(JSON.parse(readFileSync(file, 'utf8'))).toMatchObject({ zoomFactor: 1 });
  writeFileSync(file, '{"bounds":{"x":1e99},"zoomFactor":"large"');
  const second = await start();
  expect((await windowNow(second)).zoom).toBe(1);
});

test('a window closes also where its place cannot be written down', async () => {
  const { app } = await start();
  const file = join(data, 'window', 'window.json');
  const before = readFileSync(file, 'utf8');
  mkdirSync(`${file}.new`);
  const ended = new Promise((resolve) => app.process().once('exit', (code) => resolve(code)));
  await choose(bench as BenchWindowUnderTest, 'Close');
  expect(await ended).toBe(0);
  expect(readFileSync(file, 'utf8')).toBe(before);
});

test('--kiosk fills the screen and takes full screen and developer tools out of reach', async () => {
  const { app } = await start('--kiosk');
  expect(await windowNow(bench as BenchWindowUnderTest)).toMatchObject({ kiosk: true });
  const labels = await app.evaluate(({ Menu }) =>
    Menu.getApplicationMenu()?.items[0]?.submenu?.items.map((item) => item.label),
  );
  expect(labels).toEqual(['Larger', 'Smaller', 'Actual size', 'Close']);
});

test('no key of the menu is a letter, which a scanner could type', async () => {
  const { app } = await start();
  const keys = await app.evaluate(({ Menu }) =>
    Menu.getApplicationMenu()?.items[0]?.submenu?.items.map((item) => String(item.accelerator)),
  );
  expect(keys?.length).toBeGreaterThan(4);
  for (const key of keys ?? []) expect(key.split('+').at(-1)).not.toMatch(/^[A-Za-z]$/);
});
