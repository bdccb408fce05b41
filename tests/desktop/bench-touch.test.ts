import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchKeyboard, people } from './bench-keyboard.ts';
import { makeDataFolder, removeDataFolder, startBrowserBench } from './bench-window.ts';

/** Fingers in gloves (common practice, no source); CSS Values 4 counts 96 pixels to the inch. */
const leastPixels = (20 * 96) / 25.4;

let data: string;
let bench: Awaited<ReturnType<typeof startBrowserBench>>;
let page: Page;
let amber: BenchKeyboard;
const complaints: string[] = [];

beforeAll(async () => {
  data = makeDataFolder();
  bench = await startBrowserBench({ data });
  page = bench.page;
  await page.setViewportSize({ width: 1366, height: 768 });
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  amber = new BenchKeyboard(page);
});

afterAll(async () => {
  await bench?.close();
  removeDataFolder(data);
});

/** What can be touched on the page and is too small for a glove: what it says, width and height in pixels. */
function tooSmall(): Promise<string[]> {
  return page.evaluate((least) => {
    const targets = document.querySelectorAll('button, input, select, textarea, [role=option], summary, a');
    return [...targets].flatMap((target) => {
      const { width, height } = target.getBoundingClientRect();
      const isSmall = width > 0 && (width < least - 0.5 || height < least - 0.5);
      return isSmall ? [`${target.textContent} ${Math.round(width)} × ${Math.round(height)}`] : [];
    });
  }, leastPixels);
}

test('whatever is touched at the bench is 20 mm wide and high, from the sign-in to the pull', async () => {
  await amber.atPhase('signed out');
  expect(await tooSmall()).toEqual([]);
  await amber.scan(people.amber.badge);
  await page.getByTestId('pin').waitFor();
  expect(await tooSmall()).toEqual([]);
  await amber.scan(people.amber.pin);
  await amber.atPhase('start');
  expect(await tooSmall()).toEqual([]);
  await amber.scan('SLT-2001');
  await amber.atPhase('sheets');
  expect(await tooSmall()).toEqual([]);
  await amber.choose('sheet-slate-short');
  await amber.press('Enter');
  await amber.atStep('make-safe');
  expect(await tooSmall()).toEqual([]);
  await amber.doStep(people.amber);
  await amber.atStep('fill');
  expect(await tooSmall()).toEqual([]);
  await amber.doStep(people.amber);
  await amber.atStep('tighten');
  expect(await tooSmall()).toEqual([]);
  for (const key of ['F2', 'F7']) {
    await amber.press(key);
    await page.getByTestId('dialog').waitFor();
    expect(await tooSmall()).toEqual([]);
    await amber.press('Escape');
    await page.getByTestId('dialog').waitFor({ state: 'detached' });
  }
});

test('the page breaks no rule of its content policy: no style and no script but its own files', () => {
  expect(complaints).toEqual([]);
});
