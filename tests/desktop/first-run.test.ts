import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { readSigningKey } from '../../electron/station/signing-key.ts';
import { readSetUp } from '../../electron/station/workshop-set-up.ts';
import { BenchKeyboard, people } from './bench-keyboard.ts';
import {
  type BenchWindowUnderTest,
  makeDataFolder,
  removeDataFolder,
  startBenchWindow,
} from './bench-window.ts';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

let data: string;
let opened: BenchWindowUnderTest | undefined;

beforeEach(() => {
  data = makeDataFolder();
});
afterEach(async () => {
  await opened?.close();
  opened = undefined;
  removeDataFolder(data);
});

async function start(words: readonly string[] = ['--first-run']): Promise<BenchKeyboard> {
  opened = await startBenchWindow({ data, args: [...words, '--lang=en-US'] });
  return new BenchKeyboard(opened.page);
}

/** What axe finds in every theme. */
async function findings(page: Page): Promise<string[]> {
  // Through the debugging line: the policy of the page lets no script of another origin in.
  await page.evaluate(axe);
  const found: string[] = [];
  for (const theme of ['light', 'dark', 'contrast']) {
    found.push(
      ...(await page.evaluate(
        async ([name, runOnly]) => {
          document.documentElement.dataset.theme = name as string;
          // biome-ignore lint/suspicious/noExplicitAny: axe puts itself on the window
          const result = await (window as any).axe.run(document, { runOnly, resultTypes: ['violations'] });
          return result.violations.flatMap((violation: { id: string; nodes: { html: string }[] }) =>
            violation.nodes.map(({ html }) => `${name} ${violation.id}: ${html.slice(0, 160)}`),
          );
        },
        [theme, rules] as const,
      )),
    );
  }
  return found;
}

async function answer(bench: BenchKeyboard, page: string, text: string): Promise<void> {
  await bench.see(`[data-testid=first-run-${page}] [data-entry]:focus`);
  await bench.write(text);
  await bench.press('Enter');
}

describe('the first start on an empty folder, by keyboard alone', () => {
  test('asks, shows the folders, and leaves nothing there before the answer', async () => {
    const bench = await start();
    await bench.atPhase('first run');
    await bench.see('[data-testid=first-run-choice]');
    expect(await bench.page.getByTestId('choice-workshop').textContent()).toContain(data);
    expect(await findings(bench.page)).toEqual([]);
    await bench.press('Enter');
    await bench.untilSentence('Choose the demo or your own workshop');
    await bench.choose('workshop');
    await bench.press('Enter');
    await answer(bench, 'workshop', 'Workshop that is given up');
    await bench.press('Escape');
    await bench.press('Escape');
    await bench.see('[data-testid=first-run-choice]');
    expect(existsSync(join(data, 'station.sqlite'))).toBe(false);
  });

  test('opens the demo workshop', async () => {
    const bench = await start();
    await bench.see('[data-testid=first-run-choice]');
    await bench.choose('demo');
    await bench.press('Enter');
    await bench.signIn(people.amber);
    await bench.expectSimulated();
    expect(readSetUp(data).workshop).toContain('Demo');
  });

  test('sets a workshop up, tells the id of its key, and goes to the instruments', async () => {
    const bench = await start();
    await bench.see('[data-testid=first-run-choice]');
    await bench.choose('workshop');
    await bench.press('Enter');
    await answer(bench, 'workshop', 'Invented workshop');
    await answer(bench, 'administrator', 'Ursula Öhm');
    await answer(bench, 'pin', '604117');
    expect(await findings(bench.page)).toEqual([]);
    await answer(bench, 'again', '604118');
    await bench.untilSentence('The two PINs differ');
    await answer(bench, 'pin', '1234');
    await answer(bench, 'again', '1234');
    await bench.untilSentence('guessed at once');
    await answer(bench, 'pin', '604117');
    await answer(bench, 'again', '604117');
    await bench.see('[data-testid=first-run-done]');
    expect(await findings(bench.page)).toEqual([]);
    const shown = await bench.page.getByTestId('key-id').textContent();
    expect(shown?.replaceAll(' ', '')).toBe(readSigningKey(data)?.keyId);
    await bench.press('Enter');
    await bench.see('.page[data-screen=instruments]');
    expect(await bench.page.locator('.head').textContent()).toContain('Ursula Öhm');
    expect(await bench.page.getByTestId('simulated').count()).toBe(0);
    expect(readSetUp(data)).toEqual({ workshop: 'Invented workshop', isHalfDone: false });

    await opened?.close();
    // Whatever is asked for at the start: what has been set up is opened.
    const again = await start();
    await again.see('.page[data-phase]:not([data-phase="first run"]):not([data-phase=unknown])');
    expect(await again.page.locator('.head').textContent()).toContain('Invented workshop');
  });

  test('is the demo at once where nobody asked to be asked', async () => {
    const bench = await start([]);
    await bench.signIn(people.amber);
    await bench.expectSimulated();
  });
});
