import type { Take } from './moments.ts';
import type { PictureBench } from './picture-bench.ts';
import type { Technician } from './technician.ts';

export async function signIn(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
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

export async function handWork(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
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

export async function fill(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  await amber.workUntil('fill');
  await take('fill-empty-pan');
  await amber.putDishOn();
  await take('fill-dish');
  await amber.press('Enter');
  await bench.see('[data-testid=step] [data-tare-due=false]');
  await amber.untilVerdict('short');
  bench.scale.act({ kind: 'squeeze', massGrams: 3 });
  await take('fill-flowing', async (page) => {
    // Some squeezes, so that it still flows while the picture is taken; little enough that all the views together stay
    // below the zone: what lies in it is judged and has no rate.
    for (const delay of [0, 500, 1000]) {
      setTimeout(() => bench.scale.act({ kind: 'squeeze', massGrams: 0.1 }), delay);
    }
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

export async function captureFill(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
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

export async function tighten(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
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
  // The longest sentences of faults.
  for (const code of ['site_fork', 'site_another_chain']) bench.station.reportFault(code, code);
  await bench.see('[data-testid=faults] > :nth-child(2)');
  await take('tighten-two-faults');
  bench.station.endFaults(['site_fork', 'site_another_chain']);
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

export async function release(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
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

/** Every attempt is used up, and a lead may concede. */
export async function lastAttempt(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  await amber.openJob('SLT-2003', 'sheet-slate-short');
  await amber.workUntil('fill');
  await amber.putDishOn();
  await amber.press('Enter');
  await amber.untilVerdict('short');
  await bench.each((page) => page.keyboard.press('Shift+F2'));
  await bench.see('dialog[open] .question');
  await take('question-note');
  await amber.closeDialogs();
  await amber.fillTo(19.5, 'fail');
  await bench.each((page) => page.keyboard.press('Enter'));
  await bench.see('[role=alert]');
  await take('refused-outside');
  const capture = bench.hand.getByTestId('action-capture-mass');
  while (await capture.isEnabled()) {
    await amber.press('Enter');
    await bench.hand.waitForTimeout(500);
  }
  await bench.see('[data-testid=action-capture-mass]:disabled');
  await take('attempts-exhausted');
  await bench.each((page) => page.keyboard.press('Shift+F4'));
  await bench.see('dialog[open] .question');
  await take('question-concession');
  await amber.closeDialogs();
  bench.scale.act({ kind: 'dish off' });
  await amber.press('Escape');
  await bench.see('.page[data-phase=start]');
}
