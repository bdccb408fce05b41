import type { Locator, Page } from 'playwright-core';
import { expect } from 'vitest';
import { fromBase64 } from '../../shared/evidence/base64.ts';

/** The longest that anything on the screen may take; generous, since the tests share their machine. */
export const patience = { timeout: 20_000 };

/** Longer than any gap within a scan (shared/wedge.ts). */
export const humanPauseMilliseconds = 80;

/**
 * A person at a screen who has a keyboard, a scanner and eyes: every method presses keys or reads the page, none
 * clicks or calls the station. A method resolves when the screen shows what came of the keys.
 */
export class ScreenKeyboard {
  readonly page: Page;

  constructor(page: Page) {
    this.page = page;
  }

  async press(key: string): Promise<void> {
    await this.page.keyboard.press(key);
  }

  /** Types as a scanner does: the characters, then Enter, into whatever has the focus. */
  async scan(text: string): Promise<void> {
    await this.page.keyboard.type(text);
    await this.press('Enter');
  }

  /** Types as a person does: after the last character a while passes, where a scanner ends at once. */
  async write(text: string): Promise<void> {
    await this.page.keyboard.type(text);
    await this.page.waitForTimeout(humanPauseMilliseconds);
  }

  /** The word on the banner that must be seen on every screen of a simulated bench. */
  async expectSimulated(): Promise<void> {
    const banner = this.page.locator('.page > [data-testid=simulated]');
    expect(await banner.isVisible()).toBe(true);
    expect(await banner.textContent()).toContain('SIMULATED');
    // In sight, whatever the page scrolls.
    const box = await banner.boundingBox();
    expect(box?.y).toBe(0);
    expect(box?.height).toBeGreaterThan(20);
  }

  /** The sentence at the foot of the page. */
  async sentence(): Promise<string> {
    return (await this.page.getByTestId('sentence').textContent()) ?? '';
  }

  async untilSentence(part: string | RegExp): Promise<void> {
    await expect.poll(() => this.sentence(), patience).toMatch(part);
  }

  /** Opens a menu by its key, goes to one of its actions by the arrows, and does it. */
  async fromMenu(menuKey: 'F2' | 'F7', actionId: string): Promise<void> {
    await this.press(menuKey);
    await this.see('dialog[open] .menu button:focus');
    const entries = await this.page.locator('dialog[open] .menu button').count();
    const wanted = this.page.locator(`dialog[open] [data-testid=action-${actionId}]:focus`);
    for (let pressed = 0; (await wanted.count()) === 0; pressed++) {
      expect(pressed, `${actionId} cannot be reached in the menu of ${menuKey}`).toBeLessThan(entries);
      await this.press('ArrowDown');
    }
    await this.press('Enter');
  }

  /** Moves the mark to one of several choices by the arrows. */
  async choose(choiceId: string): Promise<void> {
    const choices = this.page.locator('[role=listbox] [role=option]');
    await this.see(`[role=listbox] [data-testid=choice-${choiceId}]`);
    const wanted = this.page.locator(`[data-testid=choice-${choiceId}][aria-selected=true]`);
    const count = await choices.count();
    for (let pressed = 0; (await wanted.count()) === 0; pressed++) {
      expect(pressed, `the arrows do not reach ${choiceId}`).toBeLessThan(count);
      await this.press('ArrowDown');
      await this.see('[role=option][aria-selected=true]');
    }
  }

  /** Goes to the headline of a fold by Tab and unfolds it. */
  async openDetails(details: Locator): Promise<void> {
    const headline = details.locator('summary');
    for (let pressed = 0; (await headline.and(this.page.locator(':focus')).count()) === 0; pressed++) {
      expect(pressed, 'Tab does not reach it').toBeLessThan(100);
      await this.press('Tab');
    }
    await this.press('Enter');
    await expect.poll(() => details.getAttribute('open'), patience).not.toBeNull();
  }

  /** Fills the fields of an open question in their order, by Tab, and confirms with Enter. */
  async answerQuestion(answers: Readonly<Record<string, string>>): Promise<void> {
    await this.see('dialog[open] .question');
    for (const [name, answer] of Object.entries(answers)) {
      await this.#reach(name);
      if ((await this.page.locator(`#question-${name} option`).count()) > 0) {
        await this.#choosePerson(name, answer);
      } else await this.write(answer);
    }
    await this.press('Enter');
  }

  /** Why the open question was not answered, once it is said. */
  async questionFailure(): Promise<string> {
    const failure = this.page.locator('.question-failure');
    await expect.poll(() => failure.textContent(), patience).not.toBe('');
    return (await failure.textContent()) ?? '';
  }

  /** Empties a field of the open question that has the focus or is reached by Tab, types anew, and confirms. */
  async retype(name: string, answer: string): Promise<void> {
    await this.#reach(name);
    await this.press('Control+A');
    await this.write(answer);
    await this.press('Enter');
  }

  /** Goes to a field of the open question by Tab. */
  async #reach(name: string): Promise<void> {
    const focused = this.page.locator(`#question-${name}:focus`);
    for (let pressed = 0; (await focused.count()) === 0; pressed++) {
      expect(pressed, `Tab does not reach ${name}`).toBeLessThan(10);
      await this.press('Tab');
    }
  }

  async #choosePerson(name: string, personId: string): Promise<void> {
    const list = this.page.locator(`#question-${name}`);
    const count = await list.locator('option').count();
    for (let pressed = 0; (await list.inputValue()) !== personId; pressed++) {
      expect(pressed, `the arrows do not reach ${personId}`).toBeLessThan(count);
      await this.press('ArrowDown');
    }
  }

  async untilDialogCloses(): Promise<void> {
    await this.see('body:not(:has(dialog[open]))');
  }

  /** Fetches a document of the station as this page may: with its cookie, from its origin. */
  async fetchDocument(path: string): Promise<Uint8Array> {
    const base64: string = await this.page.evaluate(`(async () => {
      const answer = await fetch(${JSON.stringify(path)});
      if (!answer.ok) throw new Error(String(answer.status));
      const bytes = new Uint8Array(await answer.arrayBuffer());
      let text = '';
      for (const byte of bytes) text += String.fromCharCode(byte);
      return btoa(text);
    })()`);
    const bytes = fromBase64(base64);
    if (bytes === undefined) throw new Error(`${path} did not come as base64`);
    return bytes;
  }

  /** Waits for something on the page; a failure tells what the page says instead. */
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
}
