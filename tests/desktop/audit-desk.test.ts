import { mkdirSync, readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createSystemClock } from '../../drivers/port/clock.ts';
import { generateJobs } from '../../electron/station/audit/generate.ts';
import { inventedSerial } from '../../electron/station/audit/invented-job.ts';
import { axeFindings } from './axe.ts';
import { makeDataFolder, projectFolder, removeDataFolder, startBrowserBench } from './bench-window.ts';
import { patience, ScreenKeyboard } from './screen-keyboard.ts';

const artifacts = `${projectFolder}/tests/.artifacts`;

let data: string;
let bench: Awaited<ReturnType<typeof startBrowserBench>>;
let page: Page;
let keys: ScreenKeyboard;

beforeAll(async () => {
  data = makeDataFolder();
  mkdirSync(artifacts, { recursive: true });
  generateJobs({ folder: data, clock: createSystemClock(), count: 120, first: 1 });
  bench = await startBrowserBench({ data, args: ['--remote', '127.0.0.1:0'] });
  page = bench.page;
  keys = new ScreenKeyboard(page);
  await page.setViewportSize({ width: 1366, height: 768 });
  await keys.see('[data-testid=badge]');
  await keys.scan('DEMO-FLINT');
  await keys.see('[data-testid=pin]');
  await keys.scan('8150');
  await keys.see('[data-screen=audit]');
});

afterAll(async () => {
  await bench?.close();
  removeDataFolder(data);
});

const findings = (on = page) => axeFindings(on);

/** Goes to a field of the filter by Tab. */
async function reach(testId: string): Promise<void> {
  const focused = page.locator(`[data-testid=${testId}]:focus`);
  for (let pressed = 0; (await focused.count()) === 0; pressed++) {
    expect(pressed, `Tab does not reach ${testId}`).toBeLessThan(60);
    await keys.press('Tab');
  }
}

/** Chooses in a list of the platform by the arrows. */
async function pick(testId: string, value: string): Promise<void> {
  await reach(testId);
  const list = page.getByTestId(testId);
  await expect.poll(() => list.locator(`option[value="${value}"]`).count(), patience).toBe(1);
  const count = await list.locator('option').count();
  for (let pressed = 0; (await list.inputValue()) !== value; pressed++) {
    expect(pressed, `the arrows do not reach ${value}`).toBeLessThan(count);
    await keys.press('ArrowDown');
  }
}

async function textOf(testId: string): Promise<string> {
  await keys.see(`[data-testid=${testId}]`);
  return (await page.getByTestId(testId).textContent()) ?? '';
}

/** A serial that came twice, among the first 120 invented jobs. */
function comesBack(): string {
  const serials = Array.from({ length: 120 }, (_, index) => inventedSerial(index + 1));
  const twice = serials.find((serial, index) => serials.indexOf(serial) !== index);
  if (twice === undefined) throw new Error('no serial came twice');
  return twice;
}

describe('the auditor’s desk, by keyboard alone', () => {
  test('finds jobs by what is known of them, keeps the view, and goes to a serial of the list', async () => {
    await keys.press('F4');
    await keys.see('[data-testid=filter-serial]:focus');
    await pick('filter-headId', 'invented-head-2');
    await keys.press('Enter');
    await keys.see('.found-jobs');
    expect(await textOf('found-count')).toMatch(/\d+/);
    const heads = await page.locator('.found-jobs tbody td:nth-child(3)').allTextContents();
    expect(new Set(heads)).toEqual(new Set(['invented-head-2']));
    expect(await findings()).toEqual([]);
    await page.screenshot({ path: `${artifacts}/audit-search.png` });

    await keys.press('Shift+F4');
    await keys.answerQuestion({ name: 'Head two' });
    await keys.untilDialogCloses();
    await keys.press('Shift+F3');
    await expect.poll(() => page.getByTestId('filter-headId').inputValue(), patience).toBe('');
    await reach('view-Head two'.replaceAll(' ', '\\ '));
    await keys.press('Enter');
    await expect.poll(() => page.getByTestId('filter-headId').inputValue(), patience).toBe('invented-head-2');

    const first = page.locator('.found-jobs tbody button').first();
    const serial = (await first.textContent()) ?? '';
    await reach(((await first.getAttribute('data-testid')) ?? '').replaceAll(/[^\w-]/g, '\\$&'));
    await keys.press('ArrowDown');
    await keys.press('ArrowUp');
    await keys.press('Enter');
    expect(await textOf('timeline-serial')).toContain(serial);
  });

  test('compares two visits of a serial, what differs with a mark', async () => {
    const serial = comesBack();
    await keys.press('F3');
    await page.getByTestId('audit-serial').press('Control+A');
    await keys.scan(serial);
    await expect.poll(() => page.locator('.visit').count(), patience).toBeGreaterThan(1);
    expect(await findings()).toEqual([]);
    await keys.press('F7');
    await keys.see('[data-testid=comparison]');
    expect(await page.locator('.compared .differs').count()).toBeGreaterThan(0);
    expect(await findings()).toEqual([]);
    await page.screenshot({ path: `${artifacts}/audit-compare.png` });
    await keys.press('F7');
    await keys.see('[data-testid=timeline]');
  });

  test('goes from a lot, an instrument and a certificate to every job', async () => {
    for (const [what, field] of [
      ['lot-1', 'lotId'],
      ['Invented wrench', 'instrumentId'],
      ['INV-scale-1', 'certificate'],
    ]) {
      await keys.press('F3');
      await page
        .locator('.jobs-with .link', { hasText: `Every job with ${what}` })
        .first()
        .focus();
      await keys.press('Enter');
      await keys.see('.found-jobs');
      expect(await page.getByTestId(`filter-${field}`).inputValue()).not.toBe('');
      expect(await textOf('found-count')).toMatch(/50/);
    }
    await keys.press('Shift+F3');
  });

  test('draws a control chart with its rules by name and the capability with intervals', async () => {
    await keys.press('F5');
    await keys.see('[data-testid=filter-chartKind]');
    await pick('filter-chartKind', 'torque');
    await keys.press('Enter');
    await keys.see('[data-testid=individuals-chart] svg');
    await keys.see('[data-testid=range-chart] svg');
    expect(await textOf('capability')).toMatch(/Cpk\d\.\d\d\d\.\d\d … \d\.\d\d/);
    expect(await textOf('signals')).toContain('Western Electric');
    const described = await page.locator('[data-testid=individuals-chart] svg').getAttribute('aria-label');
    expect(described).toMatch(/mean 2[67]\.\d+, control limits 2\d\.\d+ to 2\d\.\d+ N·m/);
    expect(await findings()).toEqual([]);
    await page.screenshot({ path: `${artifacts}/audit-chart.png` });
  });

  test('charts the same readings so that a small lasting shift shows, and says what the decisions risk', async () => {
    expect(await textOf('risk')).toMatch(/consumer’s risk\)[<>]? ?\d+\.\d+/);
    await pick('filter-chartForm', 'ewma');
    await keys.see('[data-testid=ewma-chart] svg');
    expect(await findings()).toEqual([]);
    await pick('filter-chartForm', 'cusum');
    await keys.see('[data-testid=cusum-low-chart] svg');
    expect(await findings()).toEqual([]);
    await page.screenshot({ path: `${artifacts}/audit-cusum.png` });
  });

  test('shows the checks of an instrument against its check weight', async () => {
    await pick('filter-chartKind', 'checks');
    await pick('filter-instrumentId', 'scale-1');
    await keys.press('Enter');
    await keys.see('[data-testid=check-charts] svg');
    expect(await findings()).toEqual([]);
  });

  test('exports what the filter names, as a file to save', async () => {
    await keys.press('F6');
    await keys.see('[data-testid=format-csv]');
    await keys.press('Shift+F3');
    await reach('format-csv');
    await keys.press('ArrowDown');
    expect(await page.getByTestId('format-jsonl').isChecked()).toBe(true);
    await keys.press('Enter');
    await keys.see('[data-testid=export-progress][data-state=ready]');
    expect(await findings()).toEqual([]);
    const [download] = await Promise.all([page.waitForEvent('download'), keys.press('F9')]);
    expect(download.suggestedFilename()).toMatch(/^bandwright-\d{8}T\d{6}-readings\.jsonl$/);
    const lines = readFileSync(await download.path(), 'utf8')
      .trimEnd()
      .split('\n');
    expect(lines).toHaveLength(240);
    expect(JSON.parse(lines[0] ?? '')).toMatchObject({ serial: 'INV-0000001', quantity: 'mass' });
  });

  test('judges again what an instrument found out of tolerance touched, and gives it as a file', async () => {
    await keys.press('Shift+F6');
    await keys.see('[data-testid=filter-impactInstrument]:focus');
    await pick('filter-impactInstrument', 'wrench-1');
    expect(await findings()).toEqual([]);
    await keys.press('Enter');
    await keys.see('[data-testid=impact-progress][data-state=ready]');
    expect(await textOf('impact-sum')).toMatch(/Captures judged again: \d+\./);
    expect(await findings()).toEqual([]);
    await page.screenshot({ path: `${artifacts}/audit-impact.png` });
    const [download] = await Promise.all([page.waitForEvent('download'), keys.press('F9')]);
    expect(download.suggestedFilename()).toMatch(/^bandwright-\d{8}T\d{6}-impact\.csv$/);
  });

  /** WCAG 2.2, 1.4.10: at 1366 × 768 enlarged to 200 % the page is 683 CSS pixels wide. */
  test('loses nothing to the side at 200 %, on any tab', async () => {
    await page.setViewportSize({ width: 683, height: 384 });
    for (const key of ['F3', 'F4', 'F5', 'F6', 'Shift+F6']) {
      await keys.press(key);
      await keys.see('.audit-panel');
      const beyond = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      expect([key, beyond]).toEqual([key, 0]);
    }
    await page.setViewportSize({ width: 1366, height: 768 });
  });

  test('gives every visit of a serial as one PDF', async () => {
    await keys.press('F3');
    await keys.see('[data-testid=audit-serial]');
    const [opened] = await Promise.all([page.context().waitForEvent('page'), keys.press('F9')]);
    const pdf = await keys.fetchDocument(new URL(opened.url()).pathname);
    await opened.close();
    expect(Buffer.from(pdf.subarray(0, 5)).toString()).toBe('%PDF-');
  });
});

describe('another desk', () => {
  test('signs in with name and PIN, reads, and finds nothing of the bench', async () => {
    const elsewhere = await page
      .context()
      .browser()
      ?.newContext({ viewport: { width: 1366, height: 768 } });
    if (elsewhere === undefined) throw new Error('there is no browser');
    const desk = await elsewhere.newPage();
    await desk.goto(bench.remoteUrl ?? '');
    const there = new ScreenKeyboard(desk);
    await there.see('[data-testid=desk-name]:focus');
    expect(await desk.locator('body').textContent()).not.toContain('Amber');
    expect(await findings(desk)).toEqual([]);
    await desk.keyboard.type('flint');
    await there.press('Tab');
    await there.write('0000');
    await there.press('Enter');
    await there.untilSentence(/Name or PIN is wrong/);
    await desk.getByTestId('desk-pin').focus();
    await there.write('8150');
    await there.press('Enter');
    await there.see('[data-testid=audit-serial]:focus');
    await there.scan('INV-0000001');
    await there.see('[data-testid=timeline]');
    await there.press('F2');
    await there.see('dialog[open] .menu');
    expect(await desk.locator('dialog[open] .menu button').allTextContents()).toEqual([
      expect.stringContaining('Audit'),
      expect.stringContaining('Settings'),
      expect.stringContaining('Sign out'),
    ]);
    // The next key comes before the platform has said that the dialog is closed.
    await desk.evaluate(() => {
      for (const key of ['Escape', 'F4'])
        document.activeElement?.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
    });
    // The view that was kept at the bench is there; a new one cannot be kept.
    await there.press('F4');
    await there.see('[data-testid="view-Head two"]');
    expect(await desk.getByTestId('action-save-view').count()).toBe(0);
    await elsewhere.close();
  });
});
