import type { Page } from 'playwright-core';
import type { PictureBench } from './picture-bench.ts';

/** Hands that bring the bench from one moment to the next. */
export class Technician {
  readonly bench: PictureBench;

  constructor(bench: PictureBench) {
    this.bench = bench;
  }

  async press(...keys: string[]): Promise<void> {
    for (const key of keys) await this.bench.hand.keyboard.press(key);
  }

  async scan(testId: string, text: string, page: Page = this.bench.hand): Promise<void> {
    const field = page.getByTestId(testId);
    await field.waitFor();
    await field.fill(text);
    await page.keyboard.press('Enter');
  }

  async signIn(badge: string, pin: string): Promise<void> {
    await this.bench.see('.page[data-phase="signed out"]');
    const { hand } = this.bench;
    if (await hand.getByTestId('badge').isVisible()) await this.scan('badge', badge);
    await this.scan('pin', pin);
    await this.bench.see('.page:not([data-phase="signed out"])');
  }

  async signOut(): Promise<void> {
    await this.fromMenu('F2', 'sign-out');
    await this.bench.see('.page[data-phase="signed out"]');
  }

  /** Another person signs in at the bench. */
  async changeTo(badge: string, pin: string): Promise<void> {
    await this.show('bench');
    await this.signOut();
    await this.signIn(badge, pin);
  }

  async fromMenu(menuKey: string, actionId: string, page: Page = this.bench.hand): Promise<void> {
    await page.keyboard.press(menuKey);
    await page.locator(`dialog[open] [data-testid=action-${actionId}]`).click();
  }

  async openJob(serial: string, sheetId: string): Promise<void> {
    const { hand } = this.bench;
    await this.scan('serial', serial);
    await hand.getByTestId(`choice-${sheetId}`).click();
    await hand.keyboard.press('Enter');
    await this.bench.see('.page[data-phase=step]');
  }

  /** Goes on by the keyboard until that step is in hand. */
  async workUntil(stepId: string): Promise<void> {
    const { hand } = this.bench;
    for (;;) {
      const step = hand.getByTestId('step');
      const at = await step.getAttribute('data-step');
      if (at === stepId) break;
      const kind = await step.getAttribute('data-kind');
      if (kind === 'check' || kind === 'disposition') {
        await hand.getByTestId(kind === 'check' ? 'choice-yes' : 'choice-reuse').click();
        await this.press('Enter');
      } else if (kind === 'consumable')
        await this.scan('lot', at === 'seal' ? 'LOT-VIOLET-01' : 'LOT-BLUE-01');
      else if (kind === 'numeric') await this.scan('number', '41.5');
      else await this.press('Enter');
      await hand.locator(`[data-testid=step]:not([data-step="${at}"])`).waitFor();
    }
    await this.bench.see(`[data-testid=step][data-step="${stepId}"]`);
  }

  async untilVerdict(verdict: string): Promise<void> {
    await this.bench.see(`[data-testid=verdict][data-verdict="${verdict}"]`);
  }

  /** Puts the dish on and waits until it rests. */
  async putDishOn(): Promise<void> {
    this.bench.scale.act({ kind: 'dish on', massGrams: 52.31 });
    await this.bench.each((page) => page.getByTestId('live-value').filter({ hasText: /^52/ }).waitFor());
    await this.untilVerdict('settled');
  }

  /** Takes the tare of the dish. A scale that had moved again when Enter came is refused, and asked once more. */
  async takeTare(): Promise<void> {
    const { hand } = this.bench;
    const taken = hand.locator('[data-testid=step] [data-tare-due=false]');
    for (let tries = 0; tries < 5; tries++) {
      await this.untilVerdict('settled');
      await this.press('Enter');
      await taken.or(hand.locator('.sentence.is-refused')).first().waitFor();
      if ((await taken.count()) > 0) break;
    }
    await this.bench.see('[data-testid=step] [data-tare-due=false]');
  }

  /** Brings the settled value on the screen to a mass and waits for rest. */
  async fillTo(grams: number, verdict: string): Promise<void> {
    const { scale } = this.bench;
    const missing = grams - (await this.#restingValue());
    scale.act({ kind: missing > 0 ? 'squeeze' : 'remove some', massGrams: Math.abs(missing) });
    await this.untilVerdict(verdict);
  }

  /** The live value once it stands still. */
  async #restingValue(): Promise<number> {
    const { hand } = this.bench;
    const read = () => hand.getByTestId('live-value').textContent();
    for (let last = await read(); ; ) {
      await hand.waitForTimeout(600);
      const now = await read();
      const unsettled = await hand.locator('[data-testid=verdict][data-verdict=unsettled]').count();
      const value = Number(now?.replace('−', '-'));
      if (now === last && unsettled === 0 && !Number.isNaN(value)) return value;
      last = now;
    }
  }

  async pull(peakNewtonMetres: number, verdict: string): Promise<void> {
    await this.bench.wrench.pull({ peakNewtonMetres });
    await this.untilVerdict(verdict);
  }

  async show(screen: string): Promise<void> {
    await this.bench.each(async (page) => {
      await page.evaluate((name) => {
        location.hash = `#/${name}`;
      }, screen);
      await page.locator(`.page[data-screen=${screen}]`).waitFor();
    });
  }

  async closeDialogs(): Promise<void> {
    await this.bench.each(async (page) => {
      await page.keyboard.press('Escape');
      await page.getByTestId('dialog').waitFor({ state: 'detached' });
    });
  }
}
