import { expect, test } from 'vitest';
import {
  isRunning,
  makeDataFolder,
  removeDataFolder,
  standInStation,
  startBrowserBench,
} from './bench-window.ts';

test('the same page runs in an ordinary Chromium, and closing it ends the station', async () => {
  const data = makeDataFolder();
  const bench = await startBrowserBench({ data, environment: { BANDWRIGHT_STATION: standInStation } });
  await bench.page.locator('html[data-ready=yes]').waitFor();
  expect(await bench.page.locator('#data-folder').textContent()).toBe(data);
  const station = Number(await bench.page.locator('#station-process').textContent());
  expect(isRunning(station)).toBe(true);
  await bench.close();
  expect(isRunning(station)).toBe(false);
  removeDataFolder(data);
});
