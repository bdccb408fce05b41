import { inventedSerial } from '../../electron/station/audit/invented-job.ts';
import type { Take } from './moments.ts';
import { type PictureBench, pastJobs, showing, unfold } from './picture-bench.ts';
import type { Technician } from './technician.ts';

/** A serial that came twice among the invented jobs. */
function comesBack(): string {
  const serials = Array.from({ length: pastJobs }, (_, index) => inventedSerial(index + 1));
  const twice = serials.find((serial, index) => serials.indexOf(serial) !== index);
  if (twice === undefined) throw new Error('no serial came twice');
  return twice;
}

export async function audit(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  await amber.show('audit');
  await bench.each((page) => amber.scan('audit-serial', 'COP-1001', page));
  await bench.see('[data-testid=timeline]');
  await take('audit-serial');
  await take('audit-captures', showing('.capture:nth-last-of-type(1)'));
  await bench.each(async (page) => {
    await page.evaluate(() => document.querySelector('.page-main')?.scrollTo(0, 0));
    await page.keyboard.press('F8');
    await page.locator('[data-testid=verify] .is-pass, [data-testid=verify] .is-fail').first().waitFor();
  });
  await take('audit-verified');
  for (const [tab, shows] of [
    ['search', '.found-jobs'],
    ['export', '[data-testid^=format-]'],
  ] as const) {
    await bench.each(async (page) => {
      await page.locator(`[data-testid=action-audit-${tab}]`).first().click();
      if (tab !== 'export') await page.keyboard.press('Enter');
      await page.locator(shows).first().waitFor();
    });
    await take(`audit-${tab}`);
  }
  // One at a time is exported.
  await bench.each(async (page) => {
    await page.keyboard.press('Enter');
    await page.locator('[data-testid=export-progress][data-state=ready]').waitFor();
  });
  await take('audit-exported');
  // One head: its readings have a band in common, and so a capability.
  await bench.each(async (page) => {
    await page.locator('[data-testid=action-audit-charts]').first().click();
    await page.getByTestId('filter-headId').selectOption('invented-head-2');
    await page.keyboard.press('Enter');
    await page.locator('[data-testid=process-chart]').first().waitFor();
  });
  await take('audit-charts');
  for (const [selector, name] of [
    ['[data-testid=range-chart]', 'audit-charts-range'],
    ['[data-testid=capability]', 'audit-charts-capability'],
  ] as const) {
    await take(name, showing(selector));
  }
  for (const form of ['ewma', 'cusum']) {
    await bench.each(async (page) => {
      await page.getByTestId('filter-chartForm').selectOption(form);
      await page.locator(`[data-testid^=${form}]`).first().waitFor();
    });
    await take(`audit-charts-${form}`, showing('.chart-pictures'));
  }
  await take('audit-charts-risk', showing('[data-testid=risk]'));
  await bench.each(async (page) => {
    await page.getByTestId('filter-chartKind').selectOption('checks');
    await page.getByTestId('filter-instrumentId').selectOption('scale-1');
    await page.keyboard.press('Enter');
    await page.locator('[data-testid=check-charts] svg').first().waitFor();
  });
  await take('audit-charts-checks', showing('.chart-pictures, [data-testid=check-charts]'));
  await bench.each(async (page) => {
    await page.locator('[data-testid=action-audit-impact]').first().click();
    await page.getByTestId('filter-impactInstrument').selectOption('wrench-1');
  });
  await amber.press('Enter');
  await bench.hand.locator('[data-testid=impact-report]').waitFor();
  // One at a time is judged again; the others are asked one after another.
  await bench.each(async (page) => {
    if (page !== bench.hand) await page.keyboard.press('Enter');
    await page.locator('[data-testid=impact-report]').waitFor();
  });
  await take('audit-impact');
  const serial = comesBack();
  await bench.each(async (page) => {
    await page.locator('[data-testid=action-audit-serial]').first().click();
    await amber.scan('audit-serial', serial, page);
    await page.locator('.visit').nth(1).waitFor();
  });
  await take('audit-two-visits');
  await bench.each(async (page) => {
    await page.keyboard.press('F7');
    await page.getByTestId('comparison').waitFor();
  });
  await take('audit-compared');
  await bench.each((page) => page.keyboard.press('F7'));
  await bench.see('[data-testid=timeline]');
  await unfold(bench);
  await take('audit-capture-open', showing('.capture details'));
  await take('audit-events', showing('.visit > details'));
}
