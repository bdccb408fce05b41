import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { lowDiskSentence } from '../../electron/station/disk-watch.ts';
import { databaseName } from '../../electron/station/store/database.ts';
import { openSqlite } from '../../electron/station/store/sqlite.ts';
import type { PictureBench } from './picture-bench.ts';
import { Technician } from './technician.ts';

/** Takes the picture of a moment under its name; `prepare` brings about what does not last. */
export type Take = (moment: string, prepare?: (page: Page) => Promise<unknown>) => Promise<void>;

const day = 86_400_000;

/** Every screen and every state that people meet, one after another, each brought about on the real station. */
export async function goThroughMoments(bench: PictureBench, take: Take): Promise<void> {
  const amber = new Technician(bench);
  await signIn(bench, amber, take);
  await handWork(bench, amber, take);
  await fill(bench, amber, take);
  await troubles(bench, amber, take);
  await captureFill(bench, amber, take);
  await tighten(bench, amber, take);
  await release(bench, amber, take);
  await desks(bench, amber, take);
  await laterTroubles(bench, amber, take);
}

async function signIn(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  await bench.see('[data-testid=badge]');
  await take('sign-in');
  await bench.each((page) => amber.scan('badge', 'DEMO-AMBER', page));
  await bench.see('[data-testid=pin]');
  await take('sign-in-pin');
  await amber.signIn('DEMO-AMBER', '2580');
  await take('start');
  await amber.openJob('SLT-2002', 'sheet-slate-short');
  await amber.press('Escape');
  await bench.see('.page[data-phase=start]');
  await take('start-with-open-job');
  await bench.each((page) => amber.scan('serial', 'COP-1001', page));
  await bench.see('.page[data-phase=sheets]');
  await take('choose-head');
  await bench.hand.getByTestId('choice-sheet-copper').click();
  await amber.press('Enter');
  // The others still ask for the head.
  await bench.each((page) => (page === bench.hand ? Promise.resolve() : page.reload()));
  await bench.see('.page[data-phase=step]');
}

async function handWork(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  await amber.workUntil('intake');
  await bench.each((page) => page.getByTestId('choice-no').click());
  await take('step-check');
  for (const stepId of ['make-safe', 'heat', 'strip']) {
    await amber.workUntil(stepId);
    await take(`step-${stepId}`);
  }
  await amber.workUntil('gear-set');
  await bench.each((page) => page.getByTestId('choice-replace').click());
  await take('step-part');
  await amber.workUntil('grease-lot');
  await take('step-lot');
  await bench.each((page) => amber.scan('lot', 'LOT-NONE', page));
  await bench.see('[role=alert]');
  await take('refused-lot');
}

async function fill(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  await amber.workUntil('fill');
  await take('fill-empty-pan');
  await amber.putDishOn();
  await take('fill-dish');
  await amber.press('Enter');
  await bench.see('[data-testid=step] [data-tare-due=false]');
  await amber.untilVerdict('short');
  bench.scale.act({ kind: 'squeeze', massGrams: 3 });
  await take('fill-flowing', async (page) => {
    if (bench.scale.state().contentGrams < 7) bench.scale.act({ kind: 'squeeze', massGrams: 0.4 });
    await page.locator('[data-testid=rate]:not(:empty)').waitFor();
  });
  await amber.untilVerdict('short');
  await take('fill-to-go');
  await take('fill-unsettled', async (page) => {
    bench.scale.act({ kind: 'squeeze', massGrams: 0.08 });
    await page.locator('[data-testid=verdict][data-verdict=unsettled]').waitFor();
  });
  await amber.untilVerdict('short');
  bench.scale.act({ kind: 'dish off' });
  await amber.untilVerdict('absent');
  await take('fill-no-dish');
  bench.scale.act({ kind: 'dish on', massGrams: 52.31 });
  await amber.untilVerdict('short');
  await amber.fillTo(9.89, 'conditional pass');
  await take('fill-conditional');
  await bench.each((page) => page.keyboard.press('F4'));
  await bench.see('[data-testid=why]');
  await take('why-conditional');
  await amber.closeDialogs();
  await amber.fillTo(10.3, 'fail');
  await take('fill-too-much');
}

async function troubles(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  const { scale } = bench;
  scale.unplug();
  await amber.untilVerdict('stale');
  await bench.see('.sentence.is-trouble');
  await take('scale-unplugged');
  scale.replug();
  await amber.untilVerdict('fail');
  for (const [name, fault] of [
    ['scale-silent', { kind: 'silence', atMilliseconds: 0, forMilliseconds: 600_000 }],
    [
      'scale-wrong-unit',
      { kind: 'wrong unit', atMilliseconds: 0, forMilliseconds: 600_000, unitText: 'pcs' },
    ],
  ] as const) {
    scale.beginFault(fault);
    await bench.see('.sentence.is-trouble');
    await take(name);
    scale.beginFault({ ...fault, forMilliseconds: 1 });
    await amber.untilVerdict('fail');
  }
  scale.act({ kind: 'put on', massGrams: 9000 });
  await bench.see('.sentence.is-trouble');
  await take('scale-overload');
  scale.act({ kind: 'take off' });
  await amber.untilVerdict('fail');
  // As the watch of the disk says it.
  bench.station.reportFault('disk_low', lowDiskSentence(180 * 1024 * 1024));
  await bench.see('[data-testid=faults]');
  await take('disk-nearly-full');
  bench.station.endFaults(['disk_low']);
  const other = openSqlite(join(bench.folder, databaseName), { timeout: 5000 });
  other.exec('BEGIN IMMEDIATE');
  await bench.each(async (page) => {
    await page.keyboard.press('Enter');
    await page.keyboard.press('Enter');
    await page.locator('[data-testid=faults]').waitFor();
  });
  await take('database-busy');
  other.exec('ROLLBACK');
  other.close();
}

async function captureFill(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  // What was refused is read; it goes with the next thing that is looked at.
  await bench.each((page) => page.keyboard.press('F1'));
  await amber.closeDialogs();
  const attempt = () => bench.hand.getByTestId('outcome');
  while (!(await attempt().isVisible())) {
    await amber.press('Enter');
    await bench.hand.waitForTimeout(500);
  }
  await bench.see('[data-testid=outcome]');
  await take('fill-failed-attempt');
  await amber.fillTo(9.5, 'pass');
  await take('fill-pass');
  await bench.each((page) => page.keyboard.press('F4'));
  await bench.see('[data-testid=why]');
  await take('why-pass');
  await amber.closeDialogs();
  for (const [key, name] of [
    ['F1', 'keys'],
    ['F2', 'screens-menu'],
    ['F7', 'job-menu'],
    ['F8', 'question-hold'],
  ] as const) {
    await bench.each((page) => page.keyboard.press(key));
    await bench.see('dialog[open]');
    await take(name);
    await amber.closeDialogs();
  }
  await amber.press('Enter');
  await bench.see('[data-step=pocket]');
  await take('step-passed');
}

async function tighten(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  await amber.workUntil('tighten');
  // This one tells of a pull while it goes on, the other of its peak.
  bench.station.bench.assign('wrench-2');
  await bench.see('[data-testid=wrench-target], .measure-text');
  await take('tighten-waiting');
  await take('tighten-pulling', async (page) => {
    void bench.wrench.pull({ peakNewtonMetres: 11.9 });
    await page.locator('[data-testid=verdict][data-verdict=pulling]').waitFor();
    await page.waitForTimeout(350);
  });
  await amber.pull(12.9, 'conditional pass');
  await take('tighten-conditional');
  bench.station.bench.assign('wrench-1');
  await amber.pull(9.6, 'fail');
  await take('tighten-fail');
  await bench.each((page) => page.keyboard.press('F6'));
  await bench.see('dialog[open]');
  await take('history');
  await amber.closeDialogs();
  await amber.press('Enter');
  await bench.see('[data-testid=outcome]');
  await take('tighten-failed-attempt');
  bench.wrench.unplug();
  await bench.see('.sentence.is-trouble');
  await take('wrench-unplugged');
  bench.wrench.replug();
  await bench.see('.page:not(:has(.sentence.is-trouble))');
  await amber.pull(12.05, 'pass');
  await take('tighten-pass');
  await amber.press('Enter');
  await bench.see('[data-step=spin]');
}

async function release(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  await amber.workUntil('run-in');
  await take('step-number');
  await amber.workUntil('sign-off');
  await take('step-sign');
  await amber.scan('pin', '2580');
  await bench.see('[data-step=accessories]');
  await bench.hand.getByTestId('choice-yes').click();
  await amber.press('Enter');
  await bench.see('[data-testid=complete]');
  await take('ready-for-release');
  await amber.scan('pin', '2580');
  await bench.see('[data-testid=released]');
  await take('released');
  await amber.press('Enter');
  await bench.see('.page[data-phase=start]');
}

async function laterTroubles(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  await amber.scan('serial', 'SLT-2002');
  await bench.see('.page[data-phase=step]');
  await amber.press('F8');
  await bench.hand.getByTestId('question-reason').fill('Waiting for a new gear set');
  await amber.press('Enter');
  await bench.see('[data-testid=held]');
  await take('held');
  await amber.press('Enter');
  await bench.see('.page[data-phase=step]');
  await amber.workUntil('fill');
  const port = await bench.stop();
  await bench.see('[data-testid=connection]');
  await take('station-restarting');
  bench.forgetScale();
  await bench.start(port);
  await bench.see('.sentence.is-trouble');
  await take('no-instrument');
  bench.station.bench.assign('scale-1');
  bench.clock.moveOn(731 * day);
  await bench.hand.reload();
  await amber.signIn('DEMO-AMBER', '2580');
  await bench.see('.sentence.is-trouble');
  await take('out-of-calibration');
  await amber.fromMenu('F7', 'abandon-job');
  await bench.hand.getByTestId('question-reason').fill('Wrong head');
  await amber.press('Enter');
  await bench.see('[data-testid=abandoned]');
  await take('abandoned');
  await amber.press('Enter');
}

async function desks(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  await amber.signOut();
  await amber.signIn('DEMO-CEDAR', '7391');
  for (const screen of ['instruments', 'sheets', 'stock']) {
    await amber.show(screen);
    await bench.see('.desk [role=option]');
    await take(`screen-${screen}`);
  }
  await amber.show('audit');
  await bench.each((page) => amber.scan('audit-serial', 'COP-1001', page));
  await bench.see('[data-testid=timeline]');
  await take('audit-serial');
  await bench.each((page) =>
    page
      .locator('.capture')
      .last()
      .evaluate((capture) => capture.scrollIntoView({ block: 'start' })),
  );
  await take('audit-captures');
  await bench.each(async (page) => {
    await page.evaluate(() => document.querySelector('.page-main')?.scrollTo(0, 0));
    await page.keyboard.press('F8');
    await page.locator('[data-testid=verify] .is-pass, [data-testid=verify] .is-fail').first().waitFor();
  });
  await take('audit-verified');
  for (const [tab, shows] of [
    ['search', '.found-jobs'],
    ['charts', '[data-testid=process-chart], [data-testid=chart-empty]'],
    ['export', '[data-testid^=format-]'],
  ] as const) {
    await bench.each(async (page) => {
      await page.locator(`[data-testid=action-audit-${tab}]`).first().click();
      if (tab !== 'export') await page.keyboard.press('Enter');
      await page.locator(shows).first().waitFor();
    });
    await take(`audit-${tab}`);
  }
  await bench.each(async (page) => {
    await page.locator('[data-testid=action-audit-charts]').first().click();
    await page.getByTestId('filter-chartForm').selectOption('ewma');
    await page.locator('[data-testid=ewma-chart]').first().waitFor();
    await page.getByTestId('risk').scrollIntoViewIfNeeded();
  });
  await take('audit-charts-risk');
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
  await amber.show('sheets');
  await bench.see('.desk [role=option]');
  await bench.each(async (page) => {
    await page.keyboard.press('F3');
    await page.locator('[data-testid=sheet-editor]').waitFor();
  });
  await take('sheet-editor');
  await bench.each(async (page) => {
    await page.keyboard.press('Shift+F9');
    await page.locator('[data-testid=sheet-editor]').waitFor({ state: 'detached' });
  });
  await amber.show('teach');
  await bench.see('.desk');
  await take('screen-teach');
  await amber.show('settings');
  await take('screen-settings');
  await amber.show('bench');
  await amber.signOut();
  await amber.signIn('DEMO-QUARTZ', '9037');
  await amber.show('people');
  await bench.see('.desk [role=option]');
  await take('screen-people');
  await amber.show('bench');
  await amber.signOut();
  await amber.signIn('DEMO-AMBER', '2580');
}
