import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { readSigningKey } from '../../electron/station/signing-key.ts';
import { readSetUp } from '../../electron/station/workshop-set-up.ts';
import { axeFindings } from './axe.ts';
import { BenchKeyboard, people } from './bench-keyboard.ts';
import {
  type BenchWindowUnderTest,
  makeDataFolder,
  removeDataFolder,
  startBenchWindow,
} from './bench-window.ts';

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
    expect(await axeFindings(bench.page)).toEqual([]);
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
    expect(await axeFindings(bench.page)).toEqual([]);
    await answer(bench, 'again', '604118');
    await bench.untilSentence('The two PINs differ');
    await answer(bench, 'pin', '1234');
    await answer(bench, 'again', '1234');
    await bench.untilSentence('guessed at once');
    await answer(bench, 'pin', '604117');
    await answer(bench, 'again', '604117');
    await bench.see('[data-testid=first-run-done]');
    expect(await axeFindings(bench.page)).toEqual([]);
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
