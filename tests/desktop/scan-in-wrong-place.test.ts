import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchKeyboard, people } from './bench-keyboard.ts';
import { makeDataFolder, removeDataFolder, startBrowserBench } from './bench-window.ts';
import { Scanner } from './scanner.ts';
import { patience } from './screen-keyboard.ts';

/** A scanner that goes off while something else has the focus. */

const data = makeDataFolder();
let browser: Awaited<ReturnType<typeof startBrowserBench>>;
let bench: BenchKeyboard;
let scanner: Scanner;

beforeAll(async () => {
  browser = await startBrowserBench({ data });
  bench = new BenchKeyboard(browser.page);
  scanner = await Scanner.plugInto(browser.page);
});
afterAll(async () => {
  await browser.close();
  removeDataFolder(data);
});

test('a badge and a serial that are scanned where they belong are taken as ever', async () => {
  await bench.see('[data-testid=badge]:focus');
  await scanner.scan(people.amber.badge);
  await bench.see('[data-testid=pin]');
  await bench.scan(people.amber.pin);
  await bench.atPhase('start');
  await scanner.scan('SLT-2001');
  await bench.atPhase('sheets');
  await bench.choose('sheet-slate-short');
  await bench.press('Enter');
  await bench.atPhase('step');
});

test('a scan never confirms a caution', async () => {
  const { stepId } = await bench.stepInHand();
  await scanner.scan('LOT-BLUE-01');
  await bench.untilSentence('Something was scanned that nothing here asks for.');
  expect((await bench.stepInHand()).stepId).toBe(stepId);
});

test('a badge scanned into a note leaves the note as it was, and does not send it off', async () => {
  await bench.fromMenu('F7', 'write-free-note');
  const note = browser.page.locator('#question-text');
  await bench.see('#question-text:focus');
  await bench.write('Bearing worn');
  await scanner.scan(people.birch.badge);
  await bench.see('dialog[open] [data-testid=dialog-notice]');
  expect(await note.inputValue()).toBe('Bearing worn');
  await bench.write(', cage cracked');
  expect(await note.inputValue()).toBe('Bearing worn, cage cracked');
  await bench.press('Enter');
  await bench.untilDialogCloses();
});

test('a slow scanner is known by the mark that it sends first', async () => {
  await browser.page.evaluate(
    `localStorage.setItem('bandwright-settings', '{"language":"en","scanPrefix":"~"}')`,
  );
  await browser.page.reload();
  await bench.atPhase('step');
  await bench.fromMenu('F7', 'write-free-note');
  await bench.see('#question-text:focus');
  await scanner.scan(`~${people.birch.badge}`, 120);
  await bench.see('dialog[open] [data-testid=dialog-notice]');
  expect(await browser.page.locator('#question-text').inputValue()).toBe('');
  await bench.press('Escape');
  await bench.see('[data-testid=step-title]:focus');
  await bench.putAside();
  await bench.see('[data-testid=serial]:focus');
  await scanner.scan('~SLT-2001', 120);
  await bench.atPhase('step');
  await bench.signOut();
});

test('a serial scanned with a list in the focus is looked up, and the list stays as it was', async () => {
  await bench.see('[data-testid=badge]:focus');
  await scanner.scan(`~${people.flint.badge}`, 120);
  await bench.see('[data-testid=pin]');
  await bench.scan(people.flint.pin);
  await bench.see('[data-testid=audit-serial]:focus');
  await bench.press('F4');
  await bench.see('[data-testid=filter-serial]:focus');
  const decision = browser.page.getByTestId('filter-decision');
  await decision.focus();
  await bench.press('ArrowDown');
  const chosen = await decision.inputValue();
  expect(chosen).not.toBe('');
  // Letters in a list of the platform choose by their beginning: "f" is fail.
  await scanner.scan('fSLT-2001');
  await expect.poll(() => browser.page.getByTestId('filter-serial').inputValue(), patience).toBe('fSLT-2001');
  expect(await decision.inputValue()).toBe(chosen);
});

test('a scan after one that was refused takes its place', async () => {
  await bench.press('F3');
  await bench.see('[data-testid=audit-serial]:focus');
  // The search of the test before may still be under way, and nothing else is begun meanwhile.
  await bench.see('[data-testid=action-find-readings]:enabled');
  const serial = browser.page.getByTestId('audit-serial');
  await serial.fill('');
  await scanner.scan('NOT-HERE-9');
  await bench.untilSentence('No serial begins with');
  expect(await serial.inputValue()).toBe('NOT-HERE-9');
  await scanner.scan('SLT-2001');
  await bench.see('[data-testid=timeline]');
  expect(await serial.inputValue()).toBe('SLT-2001');
});
