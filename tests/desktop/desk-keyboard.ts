import type { Page } from 'playwright-core';
import { expect } from 'vitest';
import { humanPauseMilliseconds } from './screen-keyboard.ts';

/** The longest that anything on the screen may take; generous, since the tests share their machine. */
const patience = { timeout: 20_000 };

/**
 * A lead or administrator at the screens of the desk who has a keyboard and eyes: every method presses keys or reads
 * the page, none clicks or calls the station.
 */
export class DeskKeyboard {
  readonly page: Page;

  constructor(page: Page) {
    this.page = page;
  }

  async press(key: string): Promise<void> {
    await this.page.keyboard.press(key);
  }

  async see(selector: string): Promise<void> {
    try {
      await this.page
        .locator(selector)
        .first()
        .waitFor({ ...patience, state: 'attached' });
    } catch {
      const text = await this.page.locator('body').textContent();
      throw new Error(`${selector} did not come; the page says: ${text?.slice(0, 1500)}`);
    }
  }

  /** Goes to a screen by its menu. */
  async goTo(screen: string): Promise<void> {
    await this.press('F2');
    await this.see('dialog[open] .menu button:focus');
    const wanted = this.page.locator(`dialog[open] [data-testid=action-go-to-${screen}]:focus`);
    for (let pressed = 0; (await wanted.count()) === 0; pressed++) {
      expect(pressed, `${screen} cannot be reached in the menu`).toBeLessThan(20);
      await this.press('ArrowDown');
    }
    await this.press('Enter');
    await this.see(`.page[data-screen=${screen}]`);
  }

  /** Moves the mark in a list to an entry by the arrows; the list is reached by Tab where it has not the focus. */
  async choose(id: string, list = 'desk-list'): Promise<void> {
    await this.see(`[data-testid=${list}] [data-testid=item-${id}]`);
    await this.reach(list);
    await this.press('Home');
    const wanted = this.page.locator(`[data-testid=${list}] [data-testid=item-${id}][aria-selected=true]`);
    for (let pressed = 0; (await wanted.count()) === 0; pressed++) {
      expect(pressed, `the arrows do not reach ${id}`).toBeLessThan(40);
      await this.press('ArrowDown');
    }
  }

  /** Waits until an action can be done, then presses its key. */
  async act(actionId: string, key: string): Promise<void> {
    await this.see(`[data-testid=action-${actionId}]:enabled`);
    await this.press(key);
  }

  /** Goes to a control by Tab. */
  async reach(testId: string): Promise<void> {
    const focused = this.page.locator(`[data-testid="${testId}"]:focus`);
    await this.see(`[data-testid="${testId}"]`);
    for (let pressed = 0; (await focused.count()) === 0; pressed++) {
      expect(pressed, `Tab does not reach ${testId}`).toBeLessThan(80);
      await this.press('Tab');
    }
  }

  /** Types into a field anew, or moves a list of the platform to a value. */
  async fill(testId: string, value: string): Promise<void> {
    await this.reach(testId);
    const control = this.page.locator(`[data-testid="${testId}"]`);
    const options = control.locator('option');
    const count = await options.count();
    if (count === 0) {
      await this.press('Control+A');
      await this.page.keyboard.type(value);
      await this.page.waitForTimeout(humanPauseMilliseconds);
      return;
    }
    await this.press('Home');
    for (let pressed = 0; (await control.inputValue()) !== value; pressed++) {
      expect(pressed, `the arrows do not reach ${value} in ${testId}`).toBeLessThanOrEqual(count);
      await this.press('ArrowDown');
    }
  }

  /** Fills fields of the open question in their order and confirms. */
  async answer(answers: Readonly<Record<string, string>>): Promise<void> {
    await this.see('dialog[open] .question');
    for (const [name, value] of Object.entries(answers)) await this.fill(`question-${name}`, value);
    await this.press('Enter');
  }

  async untilDialogCloses(): Promise<void> {
    await this.see('body:not(:has(dialog[open]))');
  }

  /** Why the open dialog was not answered, once it is said. */
  async failure(): Promise<string> {
    const failure = this.page.locator('dialog[open] .question-failure');
    await expect.poll(() => failure.textContent(), patience).not.toBe('');
    return (await failure.textContent()) ?? '';
  }

  async untilSentence(part: string | RegExp): Promise<void> {
    await expect
      .poll(async () => (await this.page.getByTestId('sentence').textContent()) ?? '', patience)
      .toMatch(part);
  }
}
