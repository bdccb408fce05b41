import { type Browser, chromium, type Page } from 'playwright-core';
import { preciseNow, type RunningProgram } from './electron-program.ts';

/** When a text stood painted in a window. */
export interface Painted {
  readonly text: string;
  /** Milliseconds since 1970 with fractions, on our clock. */
  readonly at: number;
}

/**
 * The page in the window of a running program, for moments: while something is measured nobody is attached, so that
 * no tool slows the one window more than the other.
 */
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
  for (;;) {
    const answer = await fetch(`http://${host}/json/list`);
    const targets = (await answer.json()) as { type: string; url: string }[];
    if (targets.some(({ type, url }) => type === 'page' && fits.test(url))) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
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

/** What was painted since the last time, and forgets it. Times are brought to our clock. */
export async function takePainted(page: Page): Promise<Painted[]> {
  const offset = await clockOffset(page);
  const painted: [string, number][] = await page.evaluate('window.painted.splice(0)');
  return painted.map(([text, at]) => ({ text, at: at - offset }));
}

/** How far the page's clock is ahead of ours, milliseconds: from the quickest of many questions. */
async function clockOffset(page: Page): Promise<number> {
  let best = { took: Number.POSITIVE_INFINITY, offset: 0 };
  for (let question = 0; question < 40; question += 1) {
    const asked = preciseNow();
    const there: number = await page.evaluate('performance.timeOrigin + performance.now()');
    const answered = preciseNow();
    const took = answered - asked;
    if (took < best.took) best = { took, offset: there - (asked + answered) / 2 };
  }
  return best.offset;
}

/** Bytes of the page's JavaScript heap after its garbage is collected. */
export async function heapOf(page: Page): Promise<number> {
  const session = await page.context().newCDPSession(page);
  await session.send('HeapProfiler.collectGarbage');
  const { usedSize } = await session.send('Runtime.getHeapUsage');
  await session.detach();
  return usedSize;
}
