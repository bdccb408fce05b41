import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import {
  type BenchWindowUnderTest,
  isRunning,
  makeDataFolder,
  projectFolder,
  removeDataFolder,
  startBenchWindow,
  stationAddress,
} from './bench-window.ts';

let data: string;
let bench: BenchWindowUnderTest;
const complaints: string[] = [];

beforeEach(async () => {
  data = makeDataFolder();
  complaints.length = 0;
  bench = await startBenchWindow({ data });
  bench.page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  bench.page.on('pageerror', (error) => complaints.push(error.message));
});
afterEach(async () => {
  await bench.close().catch(() => undefined);
  removeDataFolder(data);
});

/** The station among the children of Electron's main process. */
function stationProcess(): number {
  const main = bench.app.process().pid;
  const children = readFileSync(`/proc/${main}/task/${main}/children`, 'utf8').trim().split(' ');
  const station = children.find((pid) =>
    readFileSync(`/proc/${pid}/cmdline`, 'utf8').includes('station.mjs'),
  );
  return Number(station);
}

describe('the real station under the window', () => {
  test('its page comes up without a complaint, under a policy that lets no script in but its own', async () => {
    const { page } = bench;
    const answer = await page.reload();
    const policy = answer?.headers()['content-security-policy'] ?? '';
    expect(policy).toContain("default-src 'none'");
    expect(policy).toMatch(/script-src 'self'(;|$)/);
    expect(policy).not.toContain('unsafe-eval');
    await page.getByRole('heading').first().waitFor();
    await page.screenshot({ path: `${projectFolder}/tests/.artifacts/bench.png` });
    expect(complaints).toEqual([]);

    expect(
      await page.evaluate(`(() => {
        const script = document.createElement('script');
        script.textContent = 'document.documentElement.dataset.inline = "ran"';
        document.head.append(script);
        return document.documentElement.dataset.inline ?? 'refused';
      })()`),
    ).toBe('refused');
  });

  test('killed, it comes back on the same address and its page with it', async () => {
    const { page } = bench;
    await page.getByRole('heading').first().waitFor();
    const before = await page.getByRole('heading').allTextContents();
    const origin = new URL(page.url()).origin;
    const first = stationProcess();
    process.kill(first, 'SIGKILL');
    await page.getByRole('heading', { name: 'The station stopped and is restarting' }).waitFor();
    await page.waitForURL(stationAddress);
    await expect.poll(() => page.getByRole('heading').allTextContents()).toEqual(before);
    expect(new URL(page.url()).origin).toBe(origin);
    const second = stationProcess();
    expect(second).not.toBe(first);

    await bench.close();
    expect(isRunning(second)).toBe(false);
  });

  test('when the window is killed, the station ends by itself', async () => {
    const station = stationProcess();
    expect(isRunning(station)).toBe(true);
    bench.app.process().kill('SIGKILL');
    await expect.poll(() => isRunning(station), { timeout: 10_000 }).toBe(false);
  });
});
