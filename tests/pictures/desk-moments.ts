import type { Page } from 'playwright-core';
import type { Take } from './moments.ts';
import { type PictureBench, showing, unfold } from './picture-bench.ts';
import type { Technician } from './technician.ts';

/** A lead at the instruments, the sheets and the stock; teaching; the settings. */
export async function lead(bench: PictureBench, cedar: Technician, take: Take): Promise<void> {
  await instruments(bench, cedar, take);
  await sheets(bench, cedar, take);
  await cedar.show('stock');
  await bench.see('.desk [role=option]');
  await take('screen-stock');
  await question(bench, cedar, take, 'F3', 'question-receive-lot');
  await teach(bench, cedar, take);
  await cedar.show('settings');
  await take('screen-settings');
  await take('screen-settings-below', showing('.settings > :last-child'));
}

async function instruments(bench: PictureBench, cedar: Technician, take: Take): Promise<void> {
  await cedar.show('instruments');
  await bench.see('.desk [role=option]');
  await take('screen-instruments');
  await question(bench, cedar, take, 'F3', 'question-check');
  await question(bench, cedar, take, 'F4', 'question-certificate');
  await question(bench, cedar, take, 'F7', 'question-register');
  await bench.each(async (page) => {
    await page.getByTestId('item-wrench-1').click();
    await page.getByTestId('instrument-wrench-1').waitFor();
  });
  await unfold(bench);
  await take('instrument-wrench');
  for (const [selector, name] of [
    ['.error-plot', 'instrument-certificate'],
    ['[data-testid=budget]', 'instrument-budget'],
    ['.last-lines', 'instrument-lines'],
  ] as const) {
    await take(name, showing(selector));
  }
}

async function sheets(bench: PictureBench, cedar: Technician, take: Take): Promise<void> {
  await cedar.show('sheets');
  await bench.see('.desk [role=option]');
  await take('screen-sheets');
  const choose = (page: Page) => page.getByTestId('item-sheet-slate-short').click();
  await bench.each(async (page) => {
    await choose(page);
    await page.keyboard.press('F3');
    await page.getByTestId('sheet-editor').waitFor();
  });
  await take('sheet-editor');
  await bench.each((page) =>
    page
      .locator('[data-testid=editor-parts] [role=option]')
      .nth(2)
      .click()
      .then(() => page.getByTestId('field-stepId').waitFor()),
  );
  await take('sheet-editor-step');
  await bench.each(async (page) => {
    await page.getByTestId('field-band.upper').fill('1');
    await page.keyboard.press('F4');
    await page.locator('[data-testid="field-band.lower"][aria-invalid=true]:focus').waitFor();
  });
  await take('sheet-refused');
  await bench.hand.getByTestId('field-band.upper').fill('18.5');
  await bench.hand.getByTestId('field-maximumAttempts').fill('4');
  await cedar.press('F4');
  await bench.hand.getByTestId('differences').waitFor();
  await bench.each(async (page) => {
    if (page === bench.hand) return;
    await page.keyboard.press('Shift+F9');
    await page.getByTestId('sheet-editor').waitFor({ state: 'detached' });
    await page.reload();
    await choose(page);
    await page.getByTestId('differences').waitFor();
  });
  await take('sheet-differences');
  await cedar.press('F4');
  await bench.each(async (page) => {
    if (page !== bench.hand) {
      await page.reload();
      await choose(page);
    }
    await page.locator('[data-testid=sheet-sheet-slate-short][data-status=submitted]').waitFor();
  });
  await question(bench, cedar, take, 'F5', 'question-approve-sheet');
}

async function teach(bench: PictureBench, cedar: Technician, take: Take): Promise<void> {
  await cedar.show('teach');
  await bench.see('.desk');
  await take('screen-teach');
  await bench.each((page) => page.getByTestId('item-practice-device').click());
  await question(bench, cedar, take, 'F3', 'question-listen');
  const { hand } = bench;
  await cedar.press('F3');
  await hand.getByTestId('question-baud').waitFor();
  await cedar.press('Enter');
  await hand.getByTestId('taught-lines').waitFor();
  await cedar.press('F9');
  await hand
    .locator('[data-testid=practice-display][data-state=stable]')
    .filter({ hasText: /^[1-9]/ })
    .waitFor();
  await hand.waitForTimeout(4000);
  const shown = (await hand.getByTestId('practice-display').textContent()) ?? '';
  await cedar.press('F5');
  await hand.getByTestId('question-text').fill(/^[\d.]+/.exec(shown)?.[0] ?? '');
  await cedar.press('Enter');
  await hand.getByTestId('confirmations').waitFor();
  await bench.each(async (page) => {
    if (page !== hand) await page.reload();
    await page.getByTestId('confirmations').waitFor();
  });
  await take('teach-lesson');
  await take('teach-lines', showing('[data-testid=taught-lines]'));
  await question(bench, cedar, take, 'F5', 'question-confirm-display');
  await question(bench, cedar, take, 'F6', 'question-save-profile');
  await cedar.press('F4');
  await bench.hand.getByTestId('lesson').waitFor({ state: 'detached' });
}

/** An administrator at the accounts, and at what the station finds about itself. */
export async function administrator(bench: PictureBench, quartz: Technician, take: Take): Promise<void> {
  await quartz.show('people');
  await bench.see('.desk [role=option]');
  await take('screen-people');
  await question(bench, quartz, take, 'F3', 'question-add-person');
  await quartz.show('health');
  await bench.see('[data-testid=health-whole]');
  await take('screen-health');
  await take('screen-health-below', showing('.desk tbody tr:last-child'));
}

/** Opens the dialog of a key, takes it, and closes it again. */
async function question(
  bench: PictureBench,
  hands: Technician,
  take: Take,
  key: string,
  name: string,
): Promise<void> {
  await bench.each(async (page) => {
    await page.keyboard.press(key);
    await page.locator('dialog[open]').waitFor();
  });
  await take(name);
  await hands.closeDialogs();
}
