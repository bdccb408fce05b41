import { type Browser, chromium, type Page } from 'playwright-core';
import type { RunningProgram } from './electron-program.ts';

/** The page in the window of a running program, to be worked by keyboard; let go afterwards. */
export async function onPage<Value>(
  program: RunningProgram,
  work: (page: Page) => Promise<Value>,
): Promise<Value> {
  const address = await program.debuggingAddress();
  const browser: Browser = await chromium.connectOverCDP(address);
  try {
    const page = browser.contexts()[0]?.pages()[0];
    if (page === undefined) throw new Error('the window has no page');
    return await work(page);
  } finally {
    await browser.close();
  }
}

/** Waits until the window shows a page whose address fits. */
export async function untilPage(program: RunningProgram, fits: RegExp): Promise<void> {
  const { host } = new URL(await program.debuggingAddress());
  const latest = performance.now() + 60_000;
  while (performance.now() < latest) {
    const answer = await fetch(`http://${host}/json/list`);
    const targets = (await answer.json()) as { type: string; url: string }[];
    if (targets.some(({ type, url }) => type === 'page' && fits.test(url))) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error(`the window shows no page that fits ${fits}`);
}

/**
 * Brings our page to an empty dish at the fill of the short demo sheet, as a technician does by keyboard. From then on
 * `window.painted` collects each live value with the end of the frame that shows it. The value is written inside the
 * frame that paints it, so the first task after is after the paint.
 */
export async function goToFill(page: Page, takeTare: () => Promise<void>): Promise<void> {
  const see = (selector: string) => page.locator(selector).first().waitFor({ state: 'attached' });
  const scan = async (field: string, text: string) => {
    await see(`[data-testid=${field}]`);
    await page.keyboard.type(text);
    await page.keyboard.press('Enter');
  };
  await scan('badge', 'DEMO-AMBER');
  await scan('pin', '2580');
  await see('.page[data-phase=start]');
  await scan('serial', 'SLT-2001');
  const choice = '[data-testid=choice-sheet-slate-short]';
  await see(choice);
  while ((await page.locator(`${choice}[aria-selected=true]`).count()) === 0)
    await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Enter');
  await see('[data-step=make-safe]');
  await page.keyboard.press('Enter');
  await see('[data-step=fill] [data-tare-due=true]');
  await takeTare();
  await see('[data-step=fill] [data-tare-due=false]');
  await page.evaluate(`
    window.painted = [];
    const value = document.querySelector('[data-testid=live-value]');
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => window.painted.push([data, performance.timeOrigin + performance.now()]);
    new MutationObserver(() => port2.postMessage(value.textContent)).observe(value, { childList: true, characterData: true, subtree: true });
  `);
}
