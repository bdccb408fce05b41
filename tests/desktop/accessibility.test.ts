import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { screenNames } from '../../renderer/state/screen-store.ts';
import { axeFindings } from './axe.ts';
import { makeDataFolder, removeDataFolder, startBrowserBench } from './bench-window.ts';
import { humanPauseMilliseconds } from './screen-keyboard.ts';

let data: string;
let bench: Awaited<ReturnType<typeof startBrowserBench>>;
let page: Page;

beforeAll(async () => {
  data = makeDataFolder();
  bench = await startBrowserBench({ data });
  page = bench.page;
  await page.setViewportSize({ width: 1366, height: 768 });
});

afterAll(async () => {
  await bench?.close();
  removeDataFolder(data);
});

const findings = () => axeFindings(page);

async function press(...keys: string[]): Promise<void> {
  for (const key of keys) await page.keyboard.press(key);
}

async function closeDialog(): Promise<void> {
  await press('Escape');
  await page.getByTestId('dialog').waitFor({ state: 'detached' });
}

async function atStep(stepId: string): Promise<void> {
  await page.locator(`[data-testid=step][data-step=${stepId}]`).waitFor();
}

async function show(screen: string): Promise<void> {
  await page.evaluate((name) => {
    location.hash = `#/${name}`;
  }, screen);
  await page.locator(`[data-screen=${screen}]`).waitFor();
}

async function scan(testId: string, text: string): Promise<void> {
  await page.getByTestId(testId).waitFor();
  await page.keyboard.type(text);
  await press('Enter');
}

/** Goes on by the keyboard until that step is in hand. */
async function workUntil(stepId: string): Promise<void> {
  for (;;) {
    const step = page.getByTestId('step');
    const at = await step.getAttribute('data-step');
    if (at === stepId) return;
    const kind = await step.getAttribute('data-kind');
    if (kind === 'check' || kind === 'disposition') await press('ArrowDown', 'Enter');
    else if (kind === 'consumable') await scan('lot', at === 'seal' ? 'LOT-VIOLET-01' : 'LOT-BLUE-01');
    else await press('Enter');
    await page.locator(`[data-testid=step]:not([data-step=${at}])`).waitFor();
  }
}

describe('the screens, judged by axe-core in light, dark and high contrast', () => {
  test('signing in: names, then the PIN', async () => {
    await page.getByTestId('badge').waitFor();
    expect(await findings()).toEqual([]);
    await scan('badge', 'DEMO-AMBER');
    await page.getByTestId('pin').waitFor();
    expect(await findings()).toEqual([]);
    await scan('pin', '2580');
  });

  test('the start, and the choice of a head', async () => {
    await page.getByTestId('serial').waitFor();
    expect(await findings()).toEqual([]);
    await scan('serial', 'COP-1001');
    await page.getByRole('option').first().waitFor();
    expect(await findings()).toEqual([]);
    if ((await page.locator('[role=option][aria-selected=true]').count()) === 0) await press('ArrowDown');
    await press('Enter');
    await atStep('intake');
  });

  test.each(['intake', 'make-safe', 'heat', 'strip', 'gear-set', 'grease-lot'])('step %s', async (stepId) => {
    await workUntil(stepId);
    expect(await findings()).toEqual([]);
  });

  test('a refusal in words', async () => {
    await press('Enter');
    await page.getByRole('alert').waitFor();
    expect(await findings()).toEqual([]);
  });

  test('the empty dish, the fill, and why it is green or not', async () => {
    await workUntil('fill');
    expect(await findings()).toEqual([]);
    await page
      .getByTestId('live-value')
      .filter({ hasText: /^0\.00$/ })
      .waitFor();
    await press('F9');
    await page
      .getByTestId('live-value')
      .filter({ hasText: /^[1-9]/ })
      .waitFor();
    await page.locator('[data-testid=verdict][data-verdict=settled]').waitFor();
    await press('Enter');
    await page.locator('[data-testid=verdict][data-verdict=short]').waitFor();
    expect(await findings()).toEqual([]);
    await press('F4');
    await page.getByTestId('why').waitFor();
    expect(await findings()).toEqual([]);
    await closeDialog();
  });

  test('a scale that is unplugged', async () => {
    await press('Control+F9');
    await page.locator('[data-testid=verdict][data-verdict=stale]').waitFor();
    expect(await findings()).toEqual([]);
    await press('Control+F9');
    await page.locator('[data-testid=verdict]:not([data-verdict=stale])').waitFor();
  });

  test.each([
    ['the keys', 'F1'],
    ['the screens to go to', 'F2'],
    ['the history of the serial', 'F6'],
    ['what else can be done', 'F7'],
    ['the question why a job is held', 'F8'],
    ['a note', 'Shift+F2'],
    ['a hand-over', 'Shift+F6'],
  ])('the dialog of %s', async (_, key) => {
    await press(key);
    await page.getByTestId('dialog').waitFor();
    expect(await findings()).toEqual([]);
    await closeDialog();
  });

  test('a job on hold', async () => {
    await press('F8');
    await page.getByTestId('question-reason').waitFor();
    await page.keyboard.type('Waiting for a part');
    await page.waitForTimeout(humanPauseMilliseconds);
    await press('Enter');
    await page.getByTestId('held').waitFor();
    expect(await findings()).toEqual([]);
  });

  test.each(['instruments', 'teach', 'sheets', 'stock', 'people', 'health', 'settings'])(
    'the screen %s',
    async (screen) => {
      await show(screen);
      await page.locator('.desk').waitFor();
      expect(await findings()).toEqual([]);
    },
  );

  test('the audit of a serial', async () => {
    await show('audit');
    await scan('audit-serial', 'COP-1001');
    await page.getByTestId('timeline').waitFor();
    for (const fold of await page.locator('summary').all()) await fold.click();
    expect(await findings()).toEqual([]);
  });
});

/**
 * WCAG 2.2, 1.4.10: at 1366 × 768 enlarged to 200 % the page is 683 CSS pixels wide; nothing may need scrolling to the
 * side, and the next action must still be there.
 */
test('at 200 % nothing is lost to the side', async () => {
  await page.setViewportSize({ width: 683, height: 384 });
  for (const screen of screenNames) {
    await show(screen);
    const beyond = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
    expect([screen, beyond]).toEqual([screen, 0]);
  }
  await show('bench');
  await page.getByTestId('action-resume-job').scrollIntoViewIfNeeded();
  expect(await page.getByTestId('action-resume-job').isVisible()).toBe(true);
});

describe('the desk of a lead and an administrator, judged by axe-core', () => {
  async function signInAs(badge: string, pin: string): Promise<void> {
    await press('F2');
    await page.locator('dialog[open] [data-testid=action-sign-out]').click();
    await show('bench');
    await scan('badge', badge);
    await scan('pin', pin);
    await page.locator('.page:not([data-phase="signed out"])').waitFor();
  }

  async function judgeDialog(key: string): Promise<void> {
    await press(key);
    await page.getByTestId('dialog').waitFor();
    expect(await findings()).toEqual([]);
    await closeDialog();
  }

  test('an instrument with everything unfolded, its check, its certificate, a new one', async () => {
    await page.setViewportSize({ width: 1366, height: 768 });
    await signInAs('DEMO-CEDAR', '7391');
    await show('instruments');
    await page.getByTestId('budget').waitFor();
    for (const fold of await page.locator('details:not([open]) summary').all()) await fold.click();
    await page.locator('.last-lines table').waitFor();
    expect(await findings()).toEqual([]);
    for (const key of ['F3', 'F4', 'F7']) await judgeDialog(key);
  });

  test('a sheet, its editor by form and as JSON, a refusal with its path', async () => {
    await show('sheets');
    await page.getByTestId('sheet-sheet-slate').waitFor();
    expect(await findings()).toEqual([]);
    await press('F3');
    await page.getByTestId('sheet-editor').waitFor();
    await press('ArrowDown', 'ArrowDown', 'ArrowDown');
    await page.getByTestId('field-stepId').waitFor();
    expect(await findings()).toEqual([]);
    await judgeDialog('F5');
    await press('F9');
    await page.getByTestId('sheet-json').fill('{}');
    await press('F4');
    await page.getByRole('alert').waitFor();
    expect(await findings()).toEqual([]);
    await press('Shift+F9');
    await page.getByTestId('sheet-editor').waitFor({ state: 'detached' });
  });

  test('a lot, and a new one', async () => {
    await show('stock');
    await page.locator('.desk-detail').waitFor();
    expect(await findings()).toEqual([]);
    await judgeDialog('F3');
  });

  test('a lesson under way', async () => {
    await show('teach');
    await page.getByTestId('item-practice-device').click();
    await press('F3');
    await page.getByTestId('question-baud').waitFor();
    await press('Enter');
    await page.getByTestId('taught-lines').waitFor();
    expect(await findings()).toEqual([]);
    await judgeDialog('F5');
    await press('F4');
  });

  test('the accounts, and a new one', async () => {
    await signInAs('DEMO-QUARTZ', '9037');
    await show('people');
    await page.locator('.desk-detail').waitFor();
    expect(await findings()).toEqual([]);
    for (const key of ['F3', 'F4', 'F6', 'F7']) await judgeDialog(key);
  });

  test('what needs somebody to act', async () => {
    await show('health');
    await page.getByTestId('health-whole').waitFor();
    expect(await findings()).toEqual([]);
  });
});
